"""How far the planner is from the exact optimum, on random small problems.

The planner is followed to every state that it can come to, and its expected minutes are added up exactly.
"""

from __future__ import annotations

import os
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from functools import cache

import numpy as np

from bench.table import Row, at_most
from kickover.inference.hypotheses import Floats
from kickover.planning.decision_problem import DecisionProblem, FixedCosts
from kickover.planning.lookahead import Effort
from kickover.planning.plan import WALKING, StepKind, choose
from kickover.planning.repair_order import best_sequence
from planning.small_problems import random_problem
from reference.exact_table import exact_table

PROBLEMS = 300
NEGLIGIBLE = 1e-5
"""Below this chance a state is worth repairing in the best order; that is part of the measured plan."""


def rows() -> list[Row]:
    """The excess of the planner, and of one step ahead, over the optimum."""
    with ProcessPoolExecutor(os.cpu_count()) as workers:
        excess = np.array(list(workers.map(excesses, range(PROBLEMS), chunksize=5)))
    one_step, planner = excess.T * 100.0
    return [
        Row("one step ahead: mean excess over the optimum", f"{one_step.mean():.3g} %"),
        Row("one step ahead: worst excess", f"{one_step.max():.3g} %"),
        at_most(f"planner: mean excess over {PROBLEMS} random problems", float(planner.mean()), 0.5, " %"),
        at_most("planner: worst excess", float(planner.max()), 5.0, " %"),
    ]


def excesses(seed: int) -> tuple[float, float]:
    """The excess of one step ahead and of the planner on one problem (6 to 9 causes, 5 to 7 noisy checks)."""
    problem = random_problem(seed)
    least = exact_table(problem).least
    return policy_minutes(problem, Effort(work=0)) / least - 1.0, policy_minutes(
        problem, WALKING
    ) / least - 1.0


def policy_minutes(problem: DecisionProblem, effort: Effort) -> float:
    """The exact expected minutes of taking the planner's step in every state."""
    costs = problem.costs
    assert isinstance(costs, FixedCosts)

    @cache
    def minutes(found: frozenset[tuple[int, int]], tried: frozenset[int]) -> float:
        mass = _mass(problem, found, tried)
        total = float(mass.sum())
        if total <= 0.0:
            return 0.0
        checks = [check for check in range(len(problem.checks)) if check not in {one for one, _ in found}]
        repairs = [repair for repair in range(len(problem.repairs)) if repair not in tried]
        if total < NEGLIGIBLE:
            ended = problem.ends[repairs] @ mass
            rest = max(total - float(ended.sum()), 0.0)
            return best_sequence(ended, costs.repairs[repairs], rest, problem.give_up).minutes
        option = choose(_rest(problem, mass / total, checks, repairs), effort).options[0]
        if option.kind is StepKind.GIVE_UP:
            return total * problem.give_up
        if option.kind is StepKind.REPAIR:
            repair = problem.repairs.index(option.id)
            return total * option.minutes + minutes(found, tried | {repair})
        check = problem.checks.index(option.id)
        after = (minutes(found | {(check, one)}, tried) for one in range(len(problem.tables[check])))
        return total * option.minutes + sum(after)

    return minutes(frozenset(), frozenset())


def _mass(problem: DecisionProblem, found: frozenset[tuple[int, int]], tried: frozenset[int]) -> Floats:
    mass = problem.mass.copy()
    for check, finding in found:
        mass *= problem.chances(check)[finding]
    for repair in tried:
        mass *= problem.keeps[repair]
    return mass


def _rest(problem: DecisionProblem, mass: Floats, checks: list[int], repairs: list[int]) -> DecisionProblem:
    """What is left of a problem; only what still has a chance takes part."""
    costs = problem.costs
    assert isinstance(costs, FixedCosts)
    alive = np.flatnonzero(mass > 0.0)
    found = tuple(costs.findings[check] for check in checks)
    left = FixedCosts(costs.checks[checks], costs.repairs[repairs], found)
    return replace(problem, mass=mass).offering(repairs, checks, left).narrowed(alive)
