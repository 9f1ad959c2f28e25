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
from typing import TYPE_CHECKING, Any

import numpy as np

from kickover.core.problem import KickoverError

if TYPE_CHECKING:
    from scipy.sparse import csr_array

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
    program = _Program(wanted, limits)
    if not program.items:
        return frozenset()
    first = program.solve(-program.worth)
    if not limits:
        return first
    least = weight_of(wanted, first)
    use = np.array([limits[0].use.get(item, 0.0) for item in program.items])
    lightest = program.solve(np.concatenate([use, np.zeros(program.size - len(use))]), least - SLACK)
    return lightest if weight_of(wanted, lightest) >= least - 10 * SLACK else first


class _Program:
    """The program in matrix form: columns are items, then ways, then goals."""

    def __init__(self, wanted: Sequence[Goal], limits: Sequence[Capacity]) -> None:
        ways = list(dict.fromkeys(way for goal in wanted for way in goal.ways))
        self.items = sorted({item for way in ways for item in way})
        self.size = len(self.items) + len(ways) + len(wanted)
        self.worth = np.zeros(self.size)
        first_goal = len(self.items) + len(ways)
        self.worth[first_goal:] = [goal.weight * SCALE for goal in wanted]
        place = {item: column for column, item in enumerate(self.items)}
        column_of = {way: len(self.items) + column for column, way in enumerate(ways)}
        self._rows: list[dict[int, float]] = []
        self._most: list[float] = []
        for way, column in column_of.items():
            for item in sorted(way):
                self._add({column: 1.0, place[item]: -1.0}, 0.0)
        for offset, goal in enumerate(wanted):
            self._add({first_goal + offset: 1.0, **{column_of[way]: -1.0 for way in goal.ways}}, 0.0)
        for limit in limits:
            self._add({place[item]: limit.use.get(item, 0.0) for item in self.items}, limit.most)

    def solve(
        self, costs: np.ndarray[Any, np.dtype[np.float64]], least: float | None = None
    ) -> frozenset[str]:
        """The items of least cost; with `least`, among those whose goals weigh that or more."""
        from scipy.optimize import Bounds, LinearConstraint, milp  # when used: scipy is slow to import

        rows, most = list(self._rows), list(self._most)
        if least is not None:
            rows.append({column: -float(worth) for column, worth in enumerate(self.worth) if worth})
            most.append(-least * SCALE)
        answer = milp(
            costs,
            integrality=np.ones(self.size),
            bounds=Bounds(0.0, 1.0),
            constraints=LinearConstraint(self._matrix(rows), -np.inf, most),
            options={"mip_rel_gap": 0.0},
        )
        if answer.x is None:
            raise PackingError(f"the best pack could not be worked out: {answer.message}")
        return frozenset(item for item, taken in zip(self.items, answer.x, strict=False) if taken > 0.5)

    def _add(self, row: dict[int, float], most: float) -> None:
        self._rows.append(row)
        self._most.append(most)

    def _matrix(self, rows: Sequence[Mapping[int, float]]) -> csr_array:
        from scipy.sparse import csr_array  # when used: scipy is slow to import

        lines = [line for line, row in enumerate(rows) for _ in row]
        columns = [column for row in rows for column in row]
        values = [value for row in rows for value in row.values()]
        return csr_array((values, (lines, columns)), shape=(len(rows), self.size))
