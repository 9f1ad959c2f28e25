"""Order by probability over cost.

J. B. Kadane and H. A. Simon, "Optimal strategies for a class of constrained sequential problems", Annals of
Statistics 5 (1977); used for the sequential diagnosis of motorcycle engines by J. Kalagnanam and M. Henrion,
"A comparison of decision analysis and expert rules for sequential diagnosis" (UAI 1990, arXiv 1304.2362).
The rule is theirs. The five-item example is our own, its numbers computed over all 120 orders, because the
publications' tables were not at hand.
"""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest

from kickover.planning.decision_problem import single_faults
from kickover.planning.plan import choose
from kickover.planning.repair_order import best_sequence
from reference.exact import optimum

CHANCES = np.array([0.30, 0.10, 0.25, 0.20, 0.15])
MINUTES = np.array([10.0, 4.0, 12.0, 5.0, 20.0])
NEVER = 1e6


def cost(order: tuple[int, ...], chances: np.ndarray, minutes: np.ndarray) -> float:
    return float(np.cumsum(minutes[list(order)]) @ chances[list(order)])


def test_the_example_goes_d_a_b_c_e() -> None:
    found = best_sequence(CHANCES, MINUTES, 0.0, NEVER)
    assert [("A", "B", "C", "D", "E")[place] for place in found.order] == ["D", "A", "B", "C", "E"]
    assert found.minutes == pytest.approx(22.8)


def test_no_other_order_is_as_good() -> None:
    costs = sorted(cost(order, CHANCES, MINUTES) for order in permutations(range(5)))
    assert costs[:2] == pytest.approx([22.8, 23.0])
    assert costs[-1] == pytest.approx(38.6)


def test_the_planner_and_the_exact_optimum_agree_where_there_are_no_checks() -> None:
    problem = single_faults(CHANCES, MINUTES, [], np.zeros(0), NEVER)
    assert optimum(problem).minutes == pytest.approx(22.8)
    assert choose(problem).options[0].id == "repair-3"
    assert choose(problem).repairs_only == pytest.approx(22.8)


@pytest.mark.parametrize("seed", range(60))
def test_the_rule_is_the_best_of_all_orders(seed: int) -> None:
    rng = np.random.default_rng(seed)
    chances, minutes = rng.dirichlet(np.ones(6)), rng.uniform(1.0, 60.0, 6)
    best = min(cost(order, chances, minutes) for order in permutations(range(6)))
    assert best_sequence(chances, minutes, 0.0, NEVER).minutes == pytest.approx(best)
