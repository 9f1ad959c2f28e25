"""Hypotheses grouped by the repair with which the complaint ends.

Where several repairs cure a cause, it goes to the one that the greedy cover takes first (most probability
newly cured for its minutes). A hypothesis that needs several repairs ends with the last of them that the
cover takes, so that in a child of the present belief, with another order, it may seem to end sooner.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kickover.reason.decision import DecisionProblem, Masks
from kickover.reason.hypotheses import Floats

_NEVER = np.iinfo(np.int64).max


@dataclass(frozen=True, slots=True)
class Homes:
    """For each cause (and, last, for "no cause") its repair, or -1, and that repair's place in the cover."""

    repair: NDArray[np.int64]
    place: NDArray[np.int64]


def cover(problem: DecisionProblem, minutes: Floats) -> Homes:
    """Give each cause that is still possible to one repair; `minutes` (R,) are what the repairs take."""
    count = problem.cures.shape[1]
    open_mass = np.zeros(count + 1)
    for column in range(problem.members.shape[1]):
        there = (problem.left >> column & 1).astype(bool)
        np.add.at(open_mass, problem.members[there, column], problem.mass[there])
    open_mass = open_mass[:count]
    cures = problem.cures.astype(np.float64)
    gain = cures @ open_mass
    negligible = 1e-13 * float(open_mass.sum())
    repair = np.full(count + 1, -1, dtype=np.int64)
    place = np.full(count + 1, _NEVER, dtype=np.int64)
    for turn in range(len(problem.repairs)):
        taken = int(np.argmax(gain / minutes))
        if gain[taken] <= negligible:
            break
        newly = np.flatnonzero(problem.cures[taken] & (open_mass > 0.0))
        repair[newly] = taken
        place[newly] = turn
        gain -= cures[:, newly] @ open_mass[newly]
        gain[taken] = 0.0
        open_mass[newly] = 0.0
    return Homes(repair, place)


def finishing(problem: DecisionProblem, homes: Homes, left: Masks) -> NDArray[np.int64]:
    """The repair with which each hypothesis ends, given what is left of it; R for none. Shape (K,)."""
    width = problem.members.shape[1]
    present = (left[:, None] >> np.arange(width) & 1).astype(bool)
    places = np.where(present, homes.place[problem.members], _NEVER)
    powers = 1 << np.arange(width)
    finish = np.full(len(left), len(problem.repairs), dtype=np.int64)
    best = np.full(len(left), _NEVER)
    for column in range(width):
        reached = places[:, column]
        still = (present & (places > reached[:, None])) @ powers
        better = (reached < best) & ((problem.persists >> still & 1) == 0)
        best[better] = reached[better]
        finish[better] = homes.repair[problem.members[better, column]]
    return finish


def least_minutes(problem: DecisionProblem, minutes: Floats) -> Floats:
    """A lower bound on the minutes that any plan spends under each hypothesis. Shape (K,).

    Either it gives up, or it cures enough causes; of these at least the dearest one is paid for. `minutes`
    (R,) must be lower bounds themselves.
    """
    by_cause = np.where(problem.cures, minutes[:, None], problem.give_up).min(axis=0, initial=problem.give_up)
    by_cause = np.minimum(np.append(by_cause, problem.give_up), problem.give_up)
    width = problem.members.shape[1]
    result = np.full(len(problem.mass), problem.give_up)
    for mask in range(2**width):
        gone = (problem.persists >> (problem.left & mask) & 1) == 0
        cured = problem.left & ~np.uint8(mask) & np.uint8(2**width - 1)
        needed = np.zeros(len(problem.mass))
        for column in range(width):
            costs = np.where(cured >> column & 1, by_cause[problem.members[:, column]], 0.0)
            needed = np.maximum(needed, costs)
        result = np.where(gone, np.minimum(result, needed), result)
    return result
