"""Hypotheses with what is left of them: one row for each set of their causes that still keeps the complaint.

A list of repairs mends some causes of an engine and not others, and every engine in its own order. With the
causes that are left as part of the row, a repair only moves masses from row to row.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from kickover.core.ids import CheckId, EventId, RepairId
from kickover.inference.belief import Belief
from kickover.inference.compiled_model import Model
from kickover.inference.hypotheses import UNLISTED, Floats, Hypotheses
from kickover.planning.build_problem import lines_of, only

ENDED = -1
"""The row of an engine whose complaint is gone."""


@dataclass(frozen=True, slots=True, eq=False)
class ResidualFaults:
    """A population of `size` rows; the last `UNLISTED` are the unlisted cause.

    `origin` (size,) is each row's place among the hypotheses that were kept, which are `kept` of the model;
    `place` (kept, masks) is the row of a hypothesis with the members of the mask left, `ENDED` where the
    complaint is gone.
    """

    model: Model
    kept: NDArray[np.intp]
    origin: NDArray[np.intp]
    left: NDArray[np.int64]
    place: NDArray[np.intp]
    hypotheses: Hypotheses
    _lines: dict[tuple[CheckId, frozenset[EventId]], Floats] = field(default_factory=dict, repr=False)
    _after: dict[RepairId, NDArray[np.intp]] = field(default_factory=dict, repr=False)

    @property
    def size(self) -> int:
        """How many rows there are."""
        return len(self.origin)

    def masses(self, belief: Belief, share: float) -> Floats:
        """The masses of the rows, `share` in all, for engines of which `belief` holds.

        What the population leaves out is counted with the unlisted cause, which nothing mends.
        """
        posterior = belief.posterior[self.kept]
        cured = np.array(
            [cause in belief.cured for cause in belief.model.hypotheses.structure.causes] + [True]
        )
        members = belief.model.hypotheses.members[self.kept]
        left = (~cured[members]) @ (1 << np.arange(members.shape[1]))
        rows = self.place[np.arange(len(self.kept)), left]
        rows[-UNLISTED:] = np.arange(self.size - UNLISTED, self.size)
        result = np.zeros(self.size)
        known = rows != ENDED
        np.add.at(result, rows[known], posterior[known] * share)
        result[-UNLISTED] += max(0.0, share - float(result.sum()))
        return result

    def chances(self, check: CheckId, houses: frozenset[EventId]) -> Floats:
        """The chance of each finding of a check in the situation `houses`: shape (findings, size)."""
        key = (check, houses)
        if key not in self._lines:
            lines = lines_of(self.hypotheses, [self.model.checks[check]], [houses], frozenset())[0]
            self._lines[key] = np.asarray(self.model.chances[check][:, lines])
        return self._lines[key]

    def after(self, repair: RepairId) -> NDArray[np.intp]:
        """The row of each row once a repair was made: shape (size,)."""
        if repair not in self._after:
            causes = self.model.hypotheses.structure.causes
            cures = np.array([cause in self.model.repairs[repair].cures for cause in causes] + [False])
            members = self.model.hypotheses.members[self.kept][self.origin]
            mended = cures[members] @ (1 << np.arange(members.shape[1]))
            rows = self.place[self.origin, self.left & ~mended]
            rows[-UNLISTED:] = np.arange(self.size - UNLISTED, self.size)
            self._after[repair] = rows
        return self._after[repair]


def residual_faults(model: Model, mixture: Floats, dropped: float, most: int | None = None) -> ResidualFaults:
    """The population for engines of which `mixture` (H,) holds on average, whatever was cured so far.

    The least likely hypotheses are left out: at most the share `dropped` of them, or, with `most`, all but
    so many.
    """
    listed = mixture[:-UNLISTED]
    order = np.argsort(-listed, kind="stable")
    total = float(mixture.sum())
    held = int(np.searchsorted(np.cumsum(listed[order]), float(listed.sum()) - dropped * total)) + 1
    chosen = np.sort(order[: held if most is None else min(held, most)])
    chosen = chosen[listed[chosen] > 0.0]
    kept = np.append(chosen, np.arange(len(listed), len(mixture)))
    some = only(model.hypotheses, kept)
    origin, left = _variants(some)
    place = np.full((len(kept), 1 << some.members.shape[1]), ENDED, dtype=np.intp)
    place[origin, left] = np.arange(len(origin))
    spread = only(model.hypotheses, kept[origin])
    bits = 1 << np.arange(some.members.shape[1])
    members = np.where((left[:, None] & bits) > 0, spread.members, -1)
    return ResidualFaults(model, kept, origin, left, place, replace(spread, members=members))


def _variants(hypotheses: Hypotheses) -> tuple[NDArray[np.intp], NDArray[np.int64]]:
    """Each hypothesis with each set of its members that keeps the complaint; the unlisted ones last."""
    bits = 1 << np.arange(hypotheses.members.shape[1])
    whole = (hypotheses.members >= 0) @ bits
    listed = np.arange(hypotheses.count - UNLISTED)
    origins: list[NDArray[np.intp]] = []
    lefts: list[NDArray[np.int64]] = []
    for mask in range(1, int(bits.sum()) + 1):
        there = listed[((mask & ~whole[listed]) == 0) & ((hypotheses.persists[listed] >> mask & 1) == 1)]
        origins.append(there)
        lefts.append(np.full(len(there), mask, dtype=np.int64))
    origins.append(np.arange(hypotheses.count - UNLISTED, hypotheses.count))
    lefts.append(np.zeros(UNLISTED, dtype=np.int64))
    return np.concatenate(origins), np.concatenate(lefts)


def mixture_of(beliefs: Sequence[Belief], shares: Sequence[float]) -> Floats:
    """The average of several beliefs of one model, each with its share; not normalised."""
    return np.asarray(
        np.sum([one.posterior * share for one, share in zip(beliefs, shares, strict=True)], axis=0)
    )
