"""Sequential test selection with perfect tests: six states, five tests of unit cost.

K. R. Pattipati and M. G. Alexandridis, "Application of heuristic search and information theory to sequential
fault diagnosis", IEEE Trans. SMC 20 (1990), pose the problem: the fewest tests on average until one state
remains. The matrix below is from memory and could not be compared with the paper; 2.18 is the optimum of
this matrix, computed by dynamic programming, and no claim about the published example.
"""

from __future__ import annotations

import numpy as np
import pytest

from kickover.planning.decision_problem import DecisionProblem, single_faults
from kickover.planning.lookahead import Effort
from kickover.planning.plan import choose
from reference.exact import optimum
from reference.exact_table import exact_table

PRIOR = np.array([0.70, 0.01, 0.02, 0.10, 0.05, 0.12])
OUTCOMES = np.array(
    [[0, 0, 0, 1, 1, 1], [0, 1, 0, 0, 1, 1], [0, 0, 1, 0, 0, 1], [0, 0, 1, 1, 0, 1], [0, 1, 0, 1, 0, 0]]
)
CERTAIN = 10_000.0
"""Minutes of a repair so dear that none is made before the state is known."""


def identification(tests: list[int]) -> DecisionProblem:
    chances = [np.array([1.0 - OUTCOMES[test], OUTCOMES[test]], dtype=np.float64) for test in tests]
    return single_faults(PRIOR, np.full(6, CERTAIN), chances, np.ones(len(tests)), 1e9)


def average_tests(first: int | None = None) -> float:
    """The fewest tests on average, the first one forced where it is given."""
    if first is None:
        return optimum(identification([0, 1, 2, 3, 4])).minutes - CERTAIN
    others = [test for test in range(5) if test != first]
    after = 0.0
    for outcome in (0, 1):
        there = OUTCOMES[first] == outcome
        problem = identification(others)
        share = PRIOR[there].sum()
        after += share * (optimum(problem.narrowed(np.flatnonzero(there))).minutes / share - CERTAIN)
    return 1.0 + after


def test_the_optimum_of_this_matrix_is_2_18() -> None:
    assert average_tests() == pytest.approx(2.18, abs=1e-6)
    assert exact_table(identification([0, 1, 2, 3, 4])).least - CERTAIN == pytest.approx(2.18, abs=1e-6)


@pytest.mark.parametrize(("first", "tests"), [(0, 2.86), (1, 2.18), (2, 2.82), (3, 2.18), (4, 2.89)])
def test_a_forced_first_test_costs_what_was_computed(first: int, tests: float) -> None:
    assert average_tests(first) == pytest.approx(tests, abs=1e-6)


def test_the_entropy_is_a_lower_bound() -> None:
    assert -(PRIOR * np.log2(PRIOR)).sum() == pytest.approx(1.454874, abs=1e-6)
    assert average_tests() >= 1.454874


def test_looking_ahead_does_not_start_with_the_most_informative_test() -> None:
    best = choose(identification([0, 1, 2, 3, 4]), Effort()).options[0]
    assert best.id in {"test-1", "test-3"}
    assert best.expected - CERTAIN == pytest.approx(2.18, abs=1e-3)
