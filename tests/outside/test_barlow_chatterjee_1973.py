"""The pressure tank of Barlow & Chatterjee, "Introduction to Fault Tree Analysis" (1973, AD0774072).

Figures 6, 7 and 10: 16 basic events and 9 gates, read in an open restatement of the report. Published there:
top probability 4.001e-5. The cut sets and further digits were worked out apart from this program.
"""

from __future__ import annotations

import pytest

from reference.cut_sets import minimal_cut_sets, rare_event_sum
from reference.diagram_queries import top_probability
from reference.votes_tree import FaultTree, Votes, basic_events

TREE = FaultTree(
    "top",
    {
        "top": Votes(1, ("1", "G1", "2")),
        "G1": Votes(1, ("G2", "3")),
        "G2": Votes(1, ("4", "5", "G3")),
        "G3": Votes(2, ("G4", "G5")),
        "G4": Votes(1, ("G6", "G7")),
        "G5": Votes(1, ("6", "7", "8")),
        "G6": Votes(1, ("9", "10", "11")),
        "G7": Votes(1, ("12", "G8", "13")),
        "G8": Votes(1, ("14", "15", "16")),
    },
)
Q = dict.fromkeys(map(str, range(2, 17)), 1e-5) | {"1": 1e-8}


def test_sixteen_events_in_the_order_of_a_walk() -> None:
    assert " ".join(basic_events(TREE)) == "1 4 5 9 10 11 12 14 15 16 13 6 7 8 3 2"


def test_five_single_events_and_twenty_four_pairs() -> None:
    pairs = {frozenset({str(one), str(other)}) for one in range(6, 9) for other in range(9, 17)}
    cut_sets = minimal_cut_sets(TREE)
    assert cut_sets[:5] == tuple({str(event)} for event in range(1, 6))
    assert len(cut_sets) == 29
    assert set(cut_sets[5:]) == pairs


def test_published_probability() -> None:
    assert f"{top_probability(TREE, Q):.3E}" == "4.001E-05"


def test_further_digits() -> None:
    assert top_probability(TREE, Q) == pytest.approx(4.00117994e-5, rel=1e-9)
    assert rare_event_sum(minimal_cut_sets(TREE), Q) == pytest.approx(4.00124e-5, rel=1e-12)
