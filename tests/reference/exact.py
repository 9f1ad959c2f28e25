"""The exact least expected minutes of small problems, by AND-OR search with admissible bounds.

A plan is an AND-OR graph: at a state one step is chosen, and then every outcome of it has to be gone on from.
Each state is solved once (AO* of Martelli and Montanari 1973 orders the same graph; here it is searched depth
first). A step is dropped as soon as a lower bound on it reaches the best step found. No bound rests on a
guess, so the result is the optimum up to rounding.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass

import numpy as np

from kickover.core.problem import KickoverError
from kickover.inference.hypotheses import Floats
from kickover.planning.decision_problem import DecisionProblem
from kickover.planning.repair_order import least_minutes
from kickover.planning.step_costs import JobState

GIVE_UP = "give-up"


class NotSmallError(KickoverError):
    """A problem that is too large, or not of the kind, for an exact answer."""


@dataclass(frozen=True, slots=True)
class Optimum:
    """The least expected minutes lie between `least` and `minutes`, and are equal to both without a depth.

    `first` is a step with which `minutes` are reached; `states` were solved for it.
    """

    minutes: float
    least: float
    first: str
    states: int


def optimum(problem: DecisionProblem, depth: int | None = None, most_states: int = 300_000) -> Optimum:
    """Solve `problem`, exactly or looking at most `depth` steps ahead.

    At the depth, `minutes` reckon with giving up and `least` with the one repair that each hypothesis
    needs. Raises NotSmallError when more than `most_states` states have to be solved.
    """
    upper = _Solver(problem, most_states, at_depth=problem.give_up)
    minutes, first = upper.solve(depth)
    if depth is None:
        return Optimum(minutes, minutes, first, len(upper.solved))
    least, _ = _Solver(problem, most_states, at_depth=None).solve(depth)
    return Optimum(minutes, least, first, len(upper.solved))


@dataclass(frozen=True, slots=True)
class _State:
    """Unnormalised masses, with what led to them as far as it matters from here on."""

    mass: Floats
    found: frozenset[tuple[int, int]]
    made: tuple[int, ...]
    job_state: JobState


class _Solver:
    """Solves states; `at_depth` is the price of each hypothesis at the depth, None for its lower bound."""

    def __init__(self, problem: DecisionProblem, most_states: int, at_depth: float | None) -> None:
        self.problem = problem
        self.most_states = most_states
        self.least = least_minutes(problem, problem.costs.lowest())
        self.at_depth = self.least if at_depth is None else np.full(len(problem.mass), at_depth)
        self.solved: dict[Hashable, tuple[float, str]] = {}
        self._chances: dict[JobState, list[Floats]] = {}

    def solve(self, depth: int | None) -> tuple[float, str]:
        """The least minutes from the start, not normalised, and the first step."""
        problem = self.problem
        return self._value(_State(problem.mass, frozenset(), (), problem.start), depth)

    def _value(self, state: _State, depth: int | None) -> tuple[float, str]:
        if depth == 0:
            return float(state.mass @ self.at_depth), GIVE_UP
        key = self._key(state, depth)
        if key not in self.solved:
            if len(self.solved) >= self.most_states:
                raise NotSmallError(f"more than {self.most_states} states would have to be solved")
            self.solved[key] = self._best(state, None if depth is None else depth - 1)
        return self.solved[key]

    def _best(self, state: _State, depth: int | None) -> tuple[float, str]:
        total = float(state.mass.sum())
        best, first = total * self.problem.give_up, GIVE_UP
        if total <= 0.0:
            return 0.0, GIVE_UP
        for bound, name, minutes, after in self._steps(state, total):
            if bound >= best:
                break
            value = minutes
            ahead = [float(one.mass @ self.least) for one in after]
            missing = sum(ahead)
            for one, low in zip(after, ahead, strict=True):
                missing -= low
                value += self._value(one, depth)[0]
                if value + missing >= best:
                    break
            else:
                if value < best:
                    best, first = value, name
        return best, first

    def _steps(self, state: _State, total: float) -> list[tuple[float, str, float, list[_State]]]:
        """Each step with a lower bound on it, its minutes times mass and its outcomes, least bound first."""
        problem, costs = self.problem, self.problem.costs
        steps = []
        asked = {check for check, _ in state.found}
        check_minutes = costs.check_minutes([state.job_state])[0].tolist()
        for check, minutes in enumerate(check_minutes):
            if check in asked or not np.isfinite(minutes):
                continue
            masses = self._chances_at(state)[check] * state.mass
            job_states = costs.after_check(state.job_state, check)
            after = [
                _State(mass, state.found | {(check, finding)}, state.made, job_state)
                for finding, (mass, job_state) in enumerate(zip(masses, job_states, strict=True))
            ]
            spent = minutes * total
            steps.append((spent + float(state.mass @ self.least), problem.checks[check], spent, after))
        repair_minutes = costs.repair_minutes([state.job_state])[0].tolist()
        for repair, minutes in enumerate(repair_minutes):
            if repair in state.made or not np.isfinite(minutes):
                continue
            made = tuple(sorted((*state.made, repair)))
            mass = problem.failed(state.mass, repair)
            failed = _State(mass, state.found, made, costs.after_repair(state.job_state, repair))
            spent = minutes * total
            steps.append((spent + float(mass @ self.least), problem.repairs[repair], spent, [failed]))
        steps.sort(key=lambda step: (step[0], step[1]))
        return steps

    def _chances_at(self, state: _State) -> list[Floats]:
        """The chances of each check as the engine is now."""
        problem = self.problem
        key = state.job_state if problem.relined is not None else problem.start
        if key not in self._chances:
            lines = problem.lines if problem.relined is None else problem.relined(state.job_state)
            self._chances[key] = [table[:, row] for table, row in zip(problem.tables, lines, strict=True)]
        return self._chances[key]

    def _key(self, state: _State, depth: int | None) -> Hashable:
        """The order of the steps is forgotten, unless repairs may leave an engine that shows other things."""
        if self.problem.relined is None and not len(self.problem.moves.repair):
            return (state.found, state.made, state.job_state, depth)
        asked = frozenset(check for check, _ in state.found)
        return (asked, state.made, state.job_state, depth, state.mass.round(15).tobytes())
