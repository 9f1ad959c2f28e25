"""The spread mooring tree A1 of Mentes & Helvacioglu (2011), Ocean Engineering.

doi 10.1016/j.oceaneng.2010.11.003. One or gate over ten events. Inputs and the result 0.026246389824230341
were read in an open fault-tree benchmark collection that restates the paper, not in the paper.
"""

from __future__ import annotations

import pytest

from reference.cut_sets import min_cut_upper_bound, minimal_cut_sets, rare_event_sum
from reference.diagram_queries import top_probability
from reference.votes_tree import FaultTree, Votes

PROBABILITIES = (1.73e-5, 4.20e-3, 9.31e-3, 8.64e-3, 8.95e-6, 8.95e-6, 9.93e-5, 4.37e-5, 5.46e-8, 4.17e-3)
Q = {f"event-{number}": probability for number, probability in enumerate(PROBABILITIES)}
TREE = FaultTree("mooring-fails", {"mooring-fails": Votes(1, tuple(Q))})


def test_published_probability() -> None:
    assert top_probability(TREE, Q) == pytest.approx(0.026246389824230341, rel=1e-14)


def test_the_upper_bound_is_exact_when_cut_sets_share_nothing() -> None:
    assert min_cut_upper_bound(minimal_cut_sets(TREE), Q) == pytest.approx(0.026246389824230341, rel=1e-14)


def test_each_event_is_a_cut_set_and_their_sum_is_one_per_cent_too_high() -> None:
    cut_sets = minimal_cut_sets(TREE)
    assert cut_sets == tuple({event} for event in sorted(Q))
    assert rare_event_sum(cut_sets, Q) == pytest.approx(0.0264982546, rel=1e-9)
    assert rare_event_sum(cut_sets, Q) / top_probability(TREE, Q) == pytest.approx(1.0096, abs=5e-5)
