"""The likeliest hypotheses of many engines, with all that repairs may leave of them.

A list of repairs mends some causes of an engine and not others, and every engine in its own order; a repair
moves masses from row to row of the population, and what it ends leaves it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from kickover.core.ids import CheckId, EventId, RepairId
from kickover.inference.belief import Belief
from kickover.inference.compiled_model import Model
from kickover.inference.hypotheses import ENDED, UNLISTED, Floats, Hypotheses
from kickover.inference.repair_effect import RepairEffect, effect_of
from kickover.planning.build_problem import lines_of, only, with_remaining


@dataclass(frozen=True, slots=True, eq=False)
class ResidualFaults:
    """A population of rows, which are `kept` of the model; the last `UNLISTED` are the unlisted cause.

    `hypotheses` are those rows.
    """

    model: Model
    kept: NDArray[np.intp]
    hypotheses: Hypotheses
    _chances: dict[tuple[CheckId, frozenset[EventId]], Floats] = field(default_factory=dict, repr=False)
    _effects: dict[RepairId, RepairEffect] = field(default_factory=dict, repr=False)

    @property
    def size(self) -> int:
        """How many rows there are."""
        return len(self.kept)

    def masses(self, belief: Belief, share: float) -> Floats:
        """The masses of the rows, `share` in all, for engines of which `belief` holds.

        What the population leaves out is counted with the unlisted cause, which nothing mends.
        """
        result = belief.posterior[self.kept] * share
        result[-UNLISTED] += max(0.0, share - float(result.sum()))
        return np.asarray(result)

    def chances(self, check: CheckId, houses: frozenset[EventId]) -> Floats:
        """The chance of each finding of a check in the situation `houses`: shape (findings, size)."""
        key = (check, houses)
        if key not in self._chances:
            lines = lines_of(self.hypotheses, [self.model.checks[check]], [houses])[0]
            self._chances[key] = np.asarray(self.model.chances[check][:, lines])
        return self._chances[key]

    def effect(self, repair: RepairId) -> RepairEffect:
        """What a repair does to each row."""
        if repair not in self._effects:
            place = np.full(self.model.hypotheses.count + 1, ENDED, dtype=np.intp)
            place[self.kept] = np.arange(self.size)
            remaining = place[self.hypotheses.remaining]
            self._effects[repair] = effect_of(self.model.works[repair], self.hypotheses.members, remaining)
        return self._effects[repair]


def residual_faults(model: Model, mixture: Floats, dropped: float, most: int | None = None) -> ResidualFaults:
    """The population for engines of which `mixture` (H,) holds on average.

    The least likely hypotheses are left out: at most the share `dropped` of them, or, with `most`, all but
    so many and what repairs leave of them.
    """
    listed = mixture[:-UNLISTED]
    order = np.argsort(-listed, kind="stable")
    total = float(mixture.sum())
    held = int(np.searchsorted(np.cumsum(listed[order]), float(listed.sum()) - dropped * total)) + 1
    chosen = order[: held if most is None else min(held, most)]
    chosen = chosen[listed[chosen] > 0.0]
    kept = np.append(chosen, np.arange(len(listed), len(mixture)))
    kept = with_remaining(model.hypotheses, kept)
    return ResidualFaults(model, kept, only(model.hypotheses, kept))


def mixture_of(beliefs: Sequence[Belief], shares: Sequence[float]) -> Floats:
    """The average of several beliefs of one model, each with its share; not normalised."""
    return np.asarray(
        np.sum([one.posterior * share for one, share in zip(beliefs, shares, strict=True)], axis=0)
    )
