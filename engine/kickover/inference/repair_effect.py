"""What a repair does to an engine: it mends some of its causes, each with its own chance, and the rest stay.

Whether a repair works on a cause is a property of the engine, the same however often it is tried, and apart
from whether another repair does. An engine with one cause less is itself a hypothesis, so that a repair moves
probability from row to row; where the complaint is gone it leaves the rows. Nothing else is ever removed.
(Breese and Heckerman 1996 take repairs for such experiments.)
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from kickover.inference.hypotheses import ENDED, Floats, Ints


class Change(StrEnum):
    """How a complaint that is still there has changed after a repair.

    It is gone only while a test lasts: a bypass takes it away and mends nothing.
    """

    GONE = "gone"
    BETTER = "better"
    SAME = "same"
    WORSE = "worse"


@dataclass(frozen=True, slots=True)
class ChangeChances:
    """The chance of a change, when the complaint stays, by what the repair did.

    `in_part`: it mended one cause and another keeps the complaint up. `in_vain`: a cause that it treats is
    there, and it did not mend it. `elsewhere`: it treats nothing that is there.
    """

    in_part: float
    in_vain: float
    elsewhere: float


CHANGES: Mapping[Change, ChangeChances] = {
    Change.BETTER: ChangeChances(in_part=0.60, in_vain=0.50, elsewhere=0.04),
    Change.SAME: ChangeChances(in_part=0.37, in_vain=0.46, elsewhere=0.92),
    Change.WORSE: ChangeChances(in_part=0.03, in_vain=0.04, elsewhere=0.04),
}
"""Estimates: what is half mended mostly runs better, a treated cause half the time, and one engine in 25
seems better for no reason. The three chances sum to one, so that "not cured" alone says only that."""


@dataclass(frozen=True, slots=True, eq=False)
class RepairEffect:
    """One repair under each of H hypotheses, all shapes (H,): chances that sum to 1 with those of the moves.

    `ends` is the chance that it ends the complaint and `keeps` that it mends nothing; `treats` tells where a
    cause that it treats is there. The rest are moves: what it mends in part, from the row `source` to the
    row `target`, with `chance`.
    """

    ends: Floats
    keeps: Floats
    treats: NDArray[np.bool_]
    source: Ints
    target: Ints
    chance: Floats

    def failed(self, mass: Floats, change: Change | None = None) -> Floats:
        """The masses (H,) of engines that went on so, not normalised; without a change it just stayed."""
        if change is Change.GONE:
            return mass * self.ends
        result = mass * self._kept(change)
        np.add.at(result, self.target, mass[self.source] * self._moved(change))
        return result

    def before(self, ahead: Floats, change: Change | None = None) -> Floats:
        """The chance (H,) before the repair of something whose chance after it, failed, is `ahead` (H,)."""
        if change is Change.GONE:
            return ahead * self.ends
        result = ahead * self._kept(change)
        np.add.at(result, self.source, ahead[self.target] * self._moved(change))
        return result

    def _kept(self, change: Change | None) -> Floats:
        if change is None:
            return self.keeps
        chances = CHANGES[change]
        return self.keeps * np.where(self.treats, chances.in_vain, chances.elsewhere)

    def _moved(self, change: Change | None) -> Floats:
        return self.chance if change is None else self.chance * CHANGES[change].in_part


def effect_of(works: Floats, members: Ints, remaining: Ints) -> RepairEffect:
    """The effect of a repair that works on each cause with the chance `works` (causes + 1, the last 0).

    `members` and `remaining` are those of the hypotheses.
    """
    ends = np.zeros(len(members))
    keeps = np.ones(len(members))
    moves: list[tuple[Ints, Ints, Floats]] = []
    for mended, target, chance in removals(works[members], remaining):
        gone = target == ENDED
        ends += np.where(gone, chance, 0.0)
        if not mended:
            keeps = np.where(gone, 0.0, chance)
            continue
        rows = np.flatnonzero(~gone & (chance > 0.0))
        moves.append((rows, target[rows], chance[rows]))
    source, target, chance = (np.concatenate(column) for column in zip(*moves, strict=True))
    treats = np.asarray((works[members] > 0.0).any(axis=1))
    return RepairEffect(ends, keeps, treats, source, target, chance)


def removals(works: Floats, remaining: Ints) -> Iterator[tuple[int, Ints, Floats]]:
    """Each set of members that a repair may mend, as a mask: the row left, and the chance of just that.

    `works` has shape (..., K, order), the chance that it works on each member; the rows left have shape (K,)
    and the chances (..., K).
    """
    order = works.shape[-1]
    everyone = 2**order - 1
    for mended in range(everyone + 1):
        chance = np.ones(works.shape[:-1])
        for place in range(order):
            one = works[..., place]
            chance = chance * (one if mended >> place & 1 else 1.0 - one)
        yield mended, remaining[:, everyone & ~mended], chance
