"""The charts in `diagrams/` are those of the library and the reasoning as they are.

Compiling all of them takes minutes. So all are judged by their beginnings (see `chart_gallery`), and a few
are compiled whole and walked. With KICKOVER_WHOLE=1 in the environment every one of them is.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from draw.chart_walks import is_beyond, walks
from kickover.draw.chart_gallery import (
    ShippedChart,
    chart_digest,
    held_digest,
    shipped_charts,
    stale_charts,
)
from kickover.draw.compile import compile_chart
from kickover.draw.compile_moves import StepKey, step_key
from kickover.library import load_or_raise, shipped_folder

DIAGRAMS = Path(__file__).parents[2] / "diagrams"
LIBRARY = load_or_raise(shipped_folder())
SHIPPED = shipped_charts(LIBRARY)
WALKED = [one for one in SHIPPED if os.environ.get("KICKOVER_WHOLE") or one.complaint in ("races", "bogs")]


def test_every_complaint_has_its_chart() -> None:
    assert {one.complaint for one in SHIPPED} == set(LIBRARY.complaints)
    assert len({name for one in SHIPPED for name in one.files.values()}) >= 25


def test_no_chart_is_out_of_date() -> None:
    assert stale_charts(DIAGRAMS, LIBRARY) == (), "run: kickover draw all diagrams"


@pytest.mark.parametrize("shipped", WALKED, ids=lambda one: f"{one.complaint}-{one.machine.id}")
def test_a_chart_is_whole_and_its_every_path_agrees_with_the_walk(shipped: ShippedChart) -> None:
    compiled = compile_chart(shipped.session(LIBRARY), shipped.printing(LIBRARY))
    for name in shipped.files.values():
        assert held_digest(DIAGRAMS / name) == chart_digest(compiled.chart), "run: kickover draw all diagrams"
    keys = {
        id_: node.step for id_, node in zip(compiled.steps, compiled.policy.nodes, strict=True) if node.step
    }
    walked = 0
    for stop in walks(compiled.chart, shipped.session(LIBRARY)):
        if is_beyond(stop.node):
            continue
        key = keys[stop.node.id]
        assert isinstance(key, StepKey)
        assert key == step_key(stop.session, stop.session.task())
        walked += 1
    assert walked >= len(keys) > 1
