"""Small decision problems: random ones, and the slow and obvious way to solve them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from kickover.inference.hypotheses import Floats
from kickover.planning.decision_problem import DecisionProblem, FixedCosts, single_faults


def yes_no(observed: NDArray[np.bool_], false_alarm: float, miss: float) -> Floats:
    """The chances of yes and of no, where yes speaks for the observed hypotheses."""
    yes = np.where(observed, 1.0 - miss, false_alarm)
    return np.array([yes, 1.0 - yes])


def random_problem(
    seed: int,
    causes: tuple[int, int] = (6, 9),
    checks: tuple[int, int] = (5, 7),
    findings: int = 2,
    give_up: float = 1000.0,
) -> DecisionProblem:
    """Single faults with noisy checks, each seeing about half of them; sizes are drawn between the limits.

    Priors are Dirichlet(0.7), repairs take 5 to 45 minutes and checks 0.5 to 8; false alarms come in 1 to 8 %
    and misses in 2 to 12 % of cases.
    """
    rng = np.random.default_rng(seed)
    count = int(rng.integers(causes[0], causes[1] + 1))
    prior = np.maximum(rng.dirichlet(np.full(count, 0.7)), 1e-4)
    tests = []
    for _ in range(int(rng.integers(checks[0], checks[1] + 1))):
        observed = rng.random(count) < 0.5
        if observed.all() or not observed.any():
            observed[0] = not observed[0]
        test = yes_no(observed, rng.uniform(0.01, 0.08), rng.uniform(0.02, 0.12))
        if findings > 2:
            shares = rng.dirichlet(np.ones(findings - 1), size=count).T
            test = np.vstack([test[:1], test[1] * shares])
        tests.append(test)
    return single_faults(
        prior / prior.sum(),
        rng.uniform(5.0, 45.0, count),
        tests,
        rng.uniform(0.5, 8.0, len(tests)),
        give_up,
    )


def brute_force(problem: DecisionProblem) -> float:
    """The least expected minutes, by trying every step in every state and remembering nothing."""
    costs = problem.costs
    assert isinstance(costs, FixedCosts)

    def least(mass: Floats, checks: frozenset[int], repairs: frozenset[int]) -> float:
        total = float(mass.sum())
        if total == 0.0:
            return 0.0
        tried = [problem.give_up * total]
        for check in checks:
            after = [least(mass * chances, checks - {check}, repairs) for chances in problem.chances(check)]
            tried.append(float(costs.checks[check]) * total + sum(after))
        for repair in repairs:
            failed = mass * problem.keeps[repair]
            tried.append(float(costs.repairs[repair]) * total + least(failed, checks, repairs - {repair}))
        return min(tried)

    return least(problem.mass, frozenset(range(len(problem.checks))), frozenset(range(len(problem.repairs))))
