"""The expected minutes of repairing in the best order, with no further checks.

Repairs go by probability over minutes (Kadane and Simon 1977; the order used for the expected cost of repair
by Heckerman, Breese and Rommelse 1995), and the sequence is cut where giving up becomes cheaper than going
on. The first repair may take other minutes than later ones, because the job stands differently now.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kickover.reason.hypotheses import Floats


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
    sorting = _sorted(mass[None, :], minutes[None, :], np.array([rest]), give_up)
    kept = int(sorting.kept[0])
    return Sequence(tuple(int(one) for one in sorting.order[0, :kept]), float(sorting.cost[0]))


def expected_minutes(mass: Floats, minutes: Floats, rest: Floats, give_up: float) -> Floats:
    """Expected minutes of repair for many beliefs at once, not normalised.

    `mass` and `minutes` have shape (N, G), `rest` (N,); the result, shape (N,), carries the weight of
    each row's total mass.
    """
    return _sorted(mass, minutes, rest, give_up).cost


def repairing(mass: Floats, now: Floats, later: Floats, rest: Floats, give_up: float) -> Repairing:
    """As `expected_minutes`, where the first repair takes `now` and the ones after it `later`: all (N, G).

    The value of each first repair follows from the best later order by moving it to the front: whatever
    came before it is then paid for by less mass.
    """
    total = mass.sum(axis=1) + rest
    if mass.shape[1] == 0:
        return Repairing(np.zeros(mass.shape), total * give_up)
    sorting = _sorted(mass, later, rest, give_up)
    within = np.arange(mass.shape[1]) < sorting.kept[:, None]
    saved_inside = sorting.minutes * sorting.before + sorting.mass * (sorting.spent - sorting.minutes)
    at_cut = np.maximum(sorting.kept - 1, 0)[:, None]
    spent_at_cut = np.where(sorting.kept[:, None] > 0, np.take_along_axis(sorting.spent, at_cut, axis=1), 0.0)
    saved_beyond = sorting.mass * (spent_at_cut + give_up)
    sorted_now = np.take_along_axis(now, sorting.order, axis=1)
    value = sorted_now * total[:, None] + sorting.cost[:, None] - np.where(within, saved_inside, saved_beyond)
    first = np.empty_like(value)
    np.put_along_axis(first, sorting.order, value, axis=1)
    return Repairing(first, np.minimum(first.min(axis=1), total * give_up))


@dataclass(frozen=True, slots=True)
class _Sorting:
    """Repairs by mass over minutes: `kept` of them are worth making, `spent` are the minutes up to each."""

    order: NDArray[np.intp]
    mass: Floats
    minutes: Floats
    before: Floats
    spent: Floats
    kept: NDArray[np.intp]
    cost: Floats


def _sorted(mass: Floats, minutes: Floats, rest: Floats, give_up: float) -> _Sorting:
    order = np.argsort(-(mass / minutes), axis=1)
    sorted_mass = np.take_along_axis(mass, order, axis=1)
    sorted_minutes = np.take_along_axis(minutes, order, axis=1)
    total = mass.sum(axis=1) + rest
    after = np.maximum(total[:, None] - np.cumsum(sorted_mass, axis=1), rest[:, None])
    before = after + sorted_mass
    costs = np.cumsum(sorted_minutes * before, axis=1) + after * give_up
    costs = np.hstack([(total * give_up)[:, None], costs])
    kept = np.argmin(costs, axis=1)
    cost = np.take_along_axis(costs, kept[:, None], axis=1)[:, 0]
    return _Sorting(order, sorted_mass, sorted_minutes, before, np.cumsum(sorted_minutes, axis=1), kept, cost)
