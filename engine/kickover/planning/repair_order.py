"""The expected minutes of repairing in the best order, with no further checks.

Repairs go by probability over minutes (Kadane and Simon 1977; the order used for the expected cost of repair
by Heckerman, Breese and Rommelse 1995), and the sequence is cut where giving up becomes cheaper than going
on. The first repair may take other minutes than later ones, because the job stands differently now.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kickover.inference.hypotheses import Floats
from kickover.planning.decision_problem import DecisionProblem, Masks


@dataclass(frozen=True, slots=True)
class Sequence:
    """Repairs in order, as positions, and the expected minutes of doing them until the complaint is gone."""

    order: tuple[int, ...]
    minutes: float


@dataclass(frozen=True, slots=True)
class Repairing:
    """For each belief, the expected minutes of repairing: shapes (N, G) and (N,), not normalised.

    `first[:, g]` makes repair g first and then the others in order; `best` is the least of those and of
    giving up at once.
    """

    first: Floats
    best: Floats


def best_sequence(mass: Floats, minutes: Floats, rest: float, give_up: float) -> Sequence:
    """The best order of repairs when repair g ends `mass[g]` and `rest` is beyond all of them."""
    sorting = _sorted(mass[None, :], minutes, np.array([rest]), give_up)
    kept = int(sorting.kept[0])
    return Sequence(tuple(int(one) for one in sorting.order[0, :kept]), float(sorting.cost[0]))


def repairing(mass: Floats, now: Floats, later: Floats, rest: Floats, give_up: float) -> Repairing:
    """The expected minutes of repairing for many beliefs, each repair as the first and the best of them.

    `mass` and `now` have shape (N, G), `later` (G,) and `rest` (N,): a repair takes `now` if it is the first
    one and `later` otherwise.
    """
    total = mass.sum(axis=1) + rest
    if mass.shape[1] == 0:
        return Repairing(np.zeros(mass.shape), total * give_up)
    sorting = _sorted(mass, later, rest, give_up)
    value = _with_each_first(sorting, now, total, give_up)
    first = np.empty(value.size)
    first[sorting.flat] = value
    return Repairing(first.reshape(mass.shape), np.minimum(value.min(axis=1), total * give_up))


def least_repairing(mass: Floats, now: Floats, later: Floats, rest: Floats, give_up: float) -> Floats:
    """The `best` of `repairing` alone, in less time."""
    total = mass.sum(axis=1) + rest
    if mass.shape[1] == 0:
        return np.asarray(total * give_up)
    sorting = _sorted(mass, later, rest, give_up)
    least = _with_each_first(sorting, now, total, give_up).min(axis=1)
    return np.asarray(np.minimum(least, total * give_up))


@dataclass(frozen=True, slots=True)
class _Sorting:
    """Repairs by mass over minutes: `kept` of them are worth making, `spent` are the minutes up to each.

    `flat` are the positions of the sorted repairs in the unsorted table, laid flat.
    """

    order: NDArray[np.intp]
    flat: NDArray[np.intp]
    mass: Floats
    minutes: Floats
    before: Floats
    spent: Floats
    kept: NDArray[np.intp]
    cost: Floats


def _sorted(mass: Floats, minutes: Floats, rest: Floats, give_up: float) -> _Sorting:
    count, size = mass.shape
    order = np.argsort(mass * (-1.0 / minutes), axis=1)
    flat = order + (np.arange(count) * size)[:, None]
    sorted_mass = np.take(mass, flat)
    sorted_minutes = np.take(minutes, order)
    total = mass.sum(axis=1) + rest
    after = np.cumsum(sorted_mass, axis=1)
    np.subtract(total[:, None], after, out=after)
    np.maximum(after, rest[:, None], out=after)
    before = after + sorted_mass
    costs = np.empty((count, size + 1))
    costs[:, 0] = total * give_up
    np.cumsum(sorted_minutes * before, axis=1, out=costs[:, 1:])
    after *= give_up
    costs[:, 1:] += after
    kept = np.argmin(costs, axis=1)
    spent = np.cumsum(sorted_minutes, axis=1)
    return _Sorting(
        order, flat, sorted_mass, sorted_minutes, before, spent, kept, costs[np.arange(count), kept]
    )


def _with_each_first(sorting: _Sorting, now: Floats, total: Floats, give_up: float) -> Floats:
    """The minutes with each repair, in sorted order, moved to the front of the best order.

    Whatever came before it is then paid for by less mass.
    """
    count, size = sorting.mass.shape
    rows = np.arange(count)
    spent_at_cut = np.where(sorting.kept > 0, sorting.spent[rows, np.maximum(sorting.kept - 1, 0)], 0.0)
    saved = np.minimum(sorting.spent - sorting.minutes, spent_at_cut[:, None])
    beyond = np.arange(size) >= sorting.kept[:, None]
    saved += np.where(beyond, give_up, 0.0)
    saved *= sorting.mass
    saved += np.where(beyond, 0.0, sorting.minutes * sorting.before)
    value = np.take(now, sorting.flat) * total[:, None]
    value -= saved
    value += sorting.cost[:, None]
    return value


_NEVER = np.iinfo(np.int64).max


@dataclass(frozen=True, slots=True)
class RepairAssignment:
    """For each cause (and, last, for "no cause") its repair, or -1, and that repair's place in the cover."""

    repair: NDArray[np.int64]
    place: NDArray[np.int64]


def cover(problem: DecisionProblem, minutes: Floats) -> RepairAssignment:
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
    return RepairAssignment(repair, place)


def finishing(problem: DecisionProblem, assignment: RepairAssignment, left: Masks) -> NDArray[np.int64]:
    """The repair with which each hypothesis ends, given what is left of it; R for none. Shape (K,)."""
    width = problem.members.shape[1]
    present = (left[:, None] >> np.arange(width) & 1).astype(bool)
    places = np.where(present, assignment.place[problem.members], _NEVER)
    powers = 1 << np.arange(width)
    finish = np.full(len(left), len(problem.repairs), dtype=np.int64)
    best = np.full(len(left), _NEVER)
    for column in range(width):
        reached = places[:, column]
        still = (present & (places > reached[:, None])) @ powers
        better = (reached < best) & ((problem.persists >> still & 1) == 0)
        best[better] = reached[better]
        finish[better] = assignment.repair[problem.members[better, column]]
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
