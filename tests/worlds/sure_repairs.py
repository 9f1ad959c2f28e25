"""Engines on which every repair works, for riders who only want to know what is left."""

from __future__ import annotations

from collections.abc import Collection

from kickover.core.ids import RepairId
from kickover.inference.compiled_model import Model


def row_after(model: Model, row: int, made: Collection[RepairId]) -> int:
    """What is left of the engine of hypothesis `row` after repairs that all work; `ENDED` when it runs."""
    mended = frozenset(cause for repair in made for cause in model.repairs[repair].cures)
    return model.hypotheses.row_left(row, mended)
