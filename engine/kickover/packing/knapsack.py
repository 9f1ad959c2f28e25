"""The best thing to carry, exactly: an integer program, solved by HiGHS through scipy.

The weights of the goals that are covered are to be as large as possible. An item is taken or not; a way
is open when all of its items are; a goal is covered when one of its ways is open. With one item a goal
this is the 0/1 knapsack problem, with shared items and several ways it is the set-union knapsack and
weighted cover in one. Of packs that cover alike the lightest is given.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from typing import Any

import numpy as np

from kickover.core.problem import KickoverError

SCALE = 1e4
"""Weights of about 1 are scaled up, since the solver stops within 1e-6 of the optimum."""
SLACK = 1e-9


class PackingError(KickoverError):
    """A program that the solver did not solve to the end."""


@dataclass(frozen=True, slots=True)
class Goal:
    """Something to be covered: its weight, and the sets of items each of which covers it."""

    weight: float
    ways: tuple[frozenset[str], ...]

    def covered(self, taken: AbstractSet[str]) -> bool:
        """Tell whether one of the ways is open."""
        return any(way <= taken for way in self.ways)


@dataclass(frozen=True, slots=True)
class Capacity:
    """What all items taken may use up of one thing: grams, litres, or money."""

    most: float
    use: Mapping[str, float]


def weight_of(goals: Sequence[Goal], taken: AbstractSet[str]) -> float:
    """The weight of all goals that `taken` covers."""
    return sum(goal.weight for goal in goals if goal.covered(taken))


def best_pack(goals: Sequence[Goal], limits: Sequence[Capacity]) -> frozenset[str]:
    """The items that cover the most weight within all limits; of equals, those that use least of the first.

    Raises PackingError when the solver gives up.
    """
    wanted = [goal for goal in goals if goal.weight > 0.0 and goal.ways and not goal.covered(frozenset())]
    ways = list(dict.fromkeys(way for goal in wanted for way in goal.ways))
    items = sorted({item for way in ways for item in way})
    if not items:
        return frozenset()
    columns = {key: column for column, key in enumerate([*items, *ways, *range(len(wanted))])}
    worth = {place: goal.weight * SCALE for place, goal in enumerate(wanted)}
    rows: list[_Row] = [({way: 1.0, item: -1.0}, 0.0) for way in ways for item in sorted(way)]
    rows += [({place: 1.0, **dict.fromkeys(goal.ways, -1.0)}, 0.0) for place, goal in enumerate(wanted)]
    rows += [({item: limit.use.get(item, 0.0) for item in items}, limit.most) for limit in limits]
    cheapest = {place: -value for place, value in worth.items()}
    first = _taken(items, columns, cheapest, rows)
    if not limits:
        return first
    least = weight_of(wanted, first)
    rows.append((cheapest, -(least - SLACK) * SCALE))
    lightest = _taken(items, columns, {item: limits[0].use.get(item, 0.0) for item in items}, rows)
    return lightest if weight_of(wanted, lightest) >= least - 10 * SLACK else first


_Row = tuple[Mapping[Any, float], float]
"""A sum over columns, and the most that it may come to."""


def _taken(
    items: Sequence[str], columns: Mapping[Any, int], costs: Mapping[Any, float], rows: Sequence[_Row]
) -> frozenset[str]:
    """The items of least cost. Columns are items, then ways, then goals, each taken or not."""
    from scipy.optimize import Bounds, LinearConstraint, milp  # when used: scipy is slow to import
    from scipy.sparse import csr_array

    cost = np.zeros(len(columns))
    cost[[columns[key] for key in costs]] = list(costs.values())
    entries = [
        (value, line, columns[key]) for line, (row, _) in enumerate(rows) for key, value in row.items()
    ]
    values, lines, places = zip(*entries, strict=True)
    matrix = csr_array((values, (lines, places)), shape=(len(rows), len(columns)))
    answer = milp(
        cost,
        integrality=np.ones(len(columns)),
        bounds=Bounds(0.0, 1.0),
        constraints=LinearConstraint(matrix, -np.inf, [most for _, most in rows]),
        options={"mip_rel_gap": 0.0},
    )
    if answer.x is None:
        raise PackingError(f"the best pack could not be worked out: {answer.message}")
    return frozenset(item for item, taken in zip(items, answer.x, strict=False) if taken > 0.5)
