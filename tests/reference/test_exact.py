"""The exact optimum: two solvers and brute force agree, and the worked examples come out."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from kickover.planning.decision_problem import DecisionProblem, FixedCosts, single_faults
from planning.small_problems import brute_force, random_problem, yes_no
from reference.exact import NotSmallError, optimum
from reference.exact_table import exact_table


def three_causes() -> DecisionProblem:
    """Case N3 of our own: two noisy tests, solved by hand in exact fractions (computed, no publication)."""
    tests = [
        yes_no(np.array([True, False, False]), 0.05, 0.10),
        yes_no(np.array([False, False, True]), 0.10, 0.20),
    ]
    prior = np.array([0.5, 0.3, 0.2])
    return single_faults(prior, np.array([20.0, 10.0, 30.0]), tests, np.array([2.0, 3.0]), 1e6)


def four_causes() -> DecisionProblem:
    """Case N4 of our own, on which one step ahead is 6.7 % too dear (computed, no publication)."""
    tests = [
        yes_no(np.array([True, True, False, False]), 0.05, 0.10),
        yes_no(np.array([False, False, False, True]), 0.03, 0.07),
        yes_no(np.array([False, True, True, False]), 0.05, 0.07),
    ]
    prior = np.array([0.31, 0.31, 0.07, 0.31])
    return single_faults(prior, np.array([10.0, 18.0, 24.0, 32.0]), tests, np.array([1.0, 3.0, 5.0]), 1e6)


@pytest.mark.parametrize(
    ("problem", "minutes"),
    [(three_causes(), Fraction(51, 2)), (four_causes(), Fraction(56329949, 2000000))],
    ids=["three", "four"],
)
def test_the_worked_cases_come_out_exactly(problem: DecisionProblem, minutes: Fraction) -> None:
    assert optimum(problem).minutes == pytest.approx(float(minutes), abs=1e-9)
    assert exact_table(problem).least == pytest.approx(float(minutes), abs=1e-9)


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("findings", [2, 3])
def test_all_three_ways_agree_on_tiny_problems(seed: int, findings: int) -> None:
    problem = random_problem(seed, causes=(2, 4), checks=(1, 3), findings=findings, give_up=60.0)
    least = brute_force(problem)
    assert optimum(problem).minutes == pytest.approx(least, rel=1e-9)
    assert exact_table(problem).least == pytest.approx(least, rel=1e-9)


@pytest.mark.parametrize("seed", range(3))
def test_both_solvers_agree_on_larger_problems(seed: int) -> None:
    problem = random_problem(seed, causes=(6, 7), checks=(5, 5))
    assert optimum(problem).minutes == pytest.approx(exact_table(problem).least, rel=1e-9)


@pytest.mark.parametrize("seed", range(4))
def test_a_repair_that_cures_several_causes_is_used(seed: int) -> None:
    alone = random_problem(seed, causes=(4, 4), checks=(2, 2))
    costs = alone.costs
    assert isinstance(costs, FixedCosts)
    both = np.vstack([alone.ends, np.array([1.0, 1.0, 0.0, 0.0])])
    minutes = np.append(costs.repairs, costs.repairs[:2].min())
    problem = replace(
        alone,
        works=np.hstack([both, np.zeros((5, 1))]),
        ends=both,
        keeps=1.0 - both,
        repairs=(*alone.repairs, "repair-of-both"),
        costs=FixedCosts(costs.checks, minutes, costs.findings),
    )
    assert optimum(problem).minutes == pytest.approx(brute_force(problem), rel=1e-9)
    assert exact_table(problem).least == pytest.approx(brute_force(problem), rel=1e-9)
    assert optimum(problem).minutes <= optimum(alone).minutes + 1e-9


@pytest.mark.parametrize("depth", [1, 2, 4])
def test_a_depth_brackets_the_optimum(depth: int) -> None:
    problem = random_problem(5, causes=(5, 5), checks=(4, 4), give_up=80.0)
    exact = optimum(problem).minutes
    found = optimum(problem, depth)
    assert found.least - 1e-9 <= exact <= found.minutes + 1e-9


def test_the_bracket_closes_at_the_full_depth() -> None:
    problem = random_problem(5, causes=(4, 4), checks=(3, 3))
    found = optimum(problem, depth=7)
    assert found.minutes == pytest.approx(optimum(problem).minutes)
    assert found.least == pytest.approx(found.minutes)


def test_too_large_a_problem_is_refused() -> None:
    problem = random_problem(1)
    with pytest.raises(NotSmallError, match="states"):
        optimum(problem, most_states=50)
    with pytest.raises(NotSmallError, match="states"):
        exact_table(problem, most_states=50)


def test_the_table_knows_every_state() -> None:
    problem = four_causes()
    costs = problem.costs
    assert isinstance(costs, FixedCosts)
    rest = replace(
        problem,
        mass=np.where([True, False, False, False], 0.0, problem.mass * problem.chances(0)[1]),
        checks=problem.checks[1:],
        tables=problem.tables[1:],
        lines=problem.lines[1:],
        costs=FixedCosts(costs.checks[1:], costs.repairs, costs.findings[1:]),
    )
    table = exact_table(problem)
    assert table.at({0: 1}, 0b0001) == pytest.approx(brute_force(rest), rel=1e-9)
    assert table.at({}, 0b1111) == pytest.approx(0.0)
