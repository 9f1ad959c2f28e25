"""The exact optimum at every state of a small problem, by dynamic programming over a whole table.

For problems with one cause a hypothesis and minutes that do not depend on what was done before. A state is
which checks were made with which findings, and which repairs were tried; its value does not depend on the
order in which that happened, because evidence multiplies. Written apart from `exact`, and faster where it
applies, so that each can check the other.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from kickover.inference.hypotheses import Floats
from kickover.planning.decision_problem import DecisionProblem, FixedCosts
from reference.exact import NotSmallError


@dataclass(frozen=True, slots=True)
class ExactTable:
    """Least expected minutes at every state, not normalised.

    `values[checks]`, for each set of checks made, has shape (repairs tried as a binary mask, findings in
    mixed radix, the first check slowest).
    """

    problem: DecisionProblem
    sizes: tuple[int, ...]
    values: Mapping[tuple[int, ...], Floats]

    @property
    def least(self) -> float:
        """The least expected minutes from the start."""
        return float(self.values[()][0, 0])

    def at(self, found: Mapping[int, int], tried: int) -> float:
        """The least expected minutes, times its chance, of the state with these findings and repairs."""
        column = 0
        for check in sorted(found):
            column = column * self.sizes[check] + found[check]
        return float(self.values[tuple(sorted(found))][tried, column])


def exact_table(problem: DecisionProblem, most_states: int = 20_000_000) -> ExactTable:
    """Solve `problem` at all its states. Raises NotSmallError when there are more than `most_states`."""
    costs = problem.costs
    sizes = tuple(len(table) for table in problem.tables)
    repairs = len(problem.repairs)
    if not isinstance(costs, FixedCosts) or len(problem.moves.repair):
        raise NotSmallError("a whole table needs single causes and minutes that do not change")
    states = float(np.prod([size + 1.0 for size in sizes])) * 2.0**repairs
    if states > most_states:
        raise NotSmallError(f"{states:.0f} states are more than the {most_states} that were allowed")
    masks = np.arange(2**repairs)
    tried = (masks[:, None] >> np.arange(repairs) & 1).astype(bool)
    surviving = np.where(tried[:, :, None], problem.keeps, 1.0).prod(axis=1) * problem.mass
    by_count = [masks[tried.sum(axis=1) == count] for count in range(repairs - 1, -1, -1)]
    values: dict[tuple[int, ...], Floats] = {}
    for count in range(len(sizes), -1, -1):
        for made in combinations(range(len(sizes)), count):
            values[made] = _solved(problem, costs, made, surviving, by_count, values)
    return ExactTable(problem, sizes, values)


def _solved(
    problem: DecisionProblem,
    costs: FixedCosts,
    made: tuple[int, ...],
    surviving: Floats,
    by_count: list[NDArray[np.int64]],
    values: Mapping[tuple[int, ...], Floats],
) -> Floats:
    likelihood = np.ones((1, len(problem.mass)))
    for check in made:
        likelihood = (likelihood[:, None, :] * problem.chances(check)).reshape(-1, len(problem.mass))
    mass = surviving @ likelihood.T
    value = mass * problem.give_up
    for check in range(len(problem.checks)):
        if check in made:
            continue
        place = sum(1 for other in made if other < check)
        after = values[(*made[:place], check, *made[place:])]
        before = int(np.prod([len(problem.tables[other]) for other in made[:place]], initial=1))
        shaped = after.reshape(len(value), before, len(problem.tables[check]), -1).sum(axis=2)
        value = np.minimum(value, costs.checks[check] * mass + shaped.reshape(value.shape))
    for rows in by_count:
        for repair, minutes in enumerate(costs.repairs):
            fresh = rows[(rows >> repair & 1) == 0]
            value[fresh] = np.minimum(value[fresh], minutes * mass[fresh] + value[fresh | 1 << repair])
    return value
