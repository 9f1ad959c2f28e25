"""The expected minutes of repairing in the best order, with no further checks.

Repairs go by probability over minutes (Kadane and Simon 1977; the order used for the expected cost of repair
by Heckerman, Breese and Rommelse 1995), and the sequence is cut where giving up becomes cheaper than going
on. The first repair may take other minutes than later ones, because the job stands differently now.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kickover.inference.hypotheses import Floats
from kickover.planning.decision_problem import DecisionProblem, Masks


@dataclass(frozen=True, slots=True)
class RepairSequence:
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


def best_sequence(mass: Floats, minutes: Floats, rest: float, give_up: float) -> RepairSequence:
    """The best order of repairs when repair g ends `mass[g]` and `rest` is beyond all of them."""
    sorting = _sorted(mass[None, :], minutes, np.array([rest]), give_up)
    kept = int(sorting.kept[0])
    return RepairSequence(tuple(int(one) for one in sorting.order[0, :kept]), float(sorting.cost[0]))


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


OFFERED = 3e-4
"""The share of the mass that a repair must mend after those before it, so that it is offered at all."""


def cover(problem: DecisionProblem, minutes: Floats) -> NDArray[np.intp]:
    """The repairs for what is still possible, as positions in order: the one that mends most a minute first.

    `minutes` (R,) are what the repairs take; each is reckoned with what those before it have left.
    """
    count = problem.works.shape[1]
    open_mass = np.zeros(count)
    for column in problem.members.T:
        open_mass += np.bincount(column % count, weights=problem.mass, minlength=count)
    least = OFFERED * float(problem.mass.sum())
    pays = 1.0 / minutes
    offered: list[int] = []
    for _ in range(len(problem.repairs)):
        gain = problem.works @ open_mass
        gain[offered] = 0.0
        taken = int(np.argmax(gain * pays))
        if gain[taken] <= least:
            break
        open_mass *= 1.0 - problem.works[taken]
        offered.append(taken)
    return np.array(offered, dtype=np.intp)


def shares(problem: DecisionProblem, offered: NDArray[np.intp], made: Sequence[int] = ()) -> Floats:
    """The share of each hypothesis that each repair ends, when the `offered` are made in order: (K, G + 1).

    Those in `made` have failed before. The last column is beyond all of them. Each cause is mended by its own
    luck, so that what is left of a hypothesis after some repairs is a product over its causes.
    """
    if not len(offered):
        return np.ones((len(problem.mass), 1))
    stays = 1.0 - problem.works[offered]
    stays[np.isin(offered, made)] = 1.0
    left = np.ascontiguousarray(np.cumprod(stays, axis=0).T)
    persists = np.zeros((len(problem.mass), len(offered)))
    for mask, factor in _by_members(problem.persists, problem.members.shape[1]):
        rows = np.flatnonzero(factor)
        term = np.repeat(factor[rows, None], len(offered), axis=1)
        for place in range(problem.members.shape[1]):
            if mask >> place & 1:
                term *= left[problem.members[rows, place]]
        persists[rows] += term
    result = np.empty((len(problem.mass), len(offered) + 1))
    result[:, 0] = 1.0 - persists[:, 0]
    np.subtract(persists[:, :-1], persists[:, 1:], out=result[:, 1:-1])
    result[:, -1] = persists[:, -1]
    return np.maximum(result, 0.0, out=result)


def _by_members(persists: Masks, order: int) -> Iterator[tuple[int, Floats]]:
    """The chance that a complaint stays as a sum over sets of members: the factor of each set, (K,).

    A set's term is its factor times the chance that all of its members are left (inclusion and exclusion).
    """
    factors: dict[int, Floats] = {}
    for mask in range(1, 2**order):
        below = [factor for other, factor in factors.items() if other & ~mask == 0]
        factors[mask] = (persists >> mask & 1) - np.sum([np.zeros(len(persists)), *below], axis=0)
        if factors[mask].any():
            yield mask, factors[mask]


def least_minutes(problem: DecisionProblem, minutes: Floats) -> Floats:
    """A lower bound on the minutes that any plan spends under each hypothesis. Shape (K,).

    It is what the repairs would take, or giving up, if the hypothesis were known and a repair that failed
    could be made again with the same chance as before. `minutes` (R,) must be lower bounds themselves.
    """
    result = np.zeros(len(problem.mass))
    moves = problem.moves
    mends = 1.0 - problem.keeps
    able = mends > 0.0
    mends = np.where(able, mends, 1.0)
    for _ in range(DEEPEST):
        spent = np.repeat(minutes[:, None], len(result), axis=1)
        np.add.at(spent, (moves.repair, moves.source), moves.chance * result[moves.target])
        spent = np.where(able, spent / mends, problem.give_up)
        result = np.minimum(spent.min(axis=0, initial=problem.give_up), problem.give_up)
    return result


DEEPEST = 4
"""So many causes meet at most; the bound on an engine rests on those on engines with fewer."""
