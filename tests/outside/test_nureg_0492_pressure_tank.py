"""The pressure tank of NUREG-0492, the Fault Tree Handbook (Vesely, Goldberg, Roberts & Haasl, 1981).

The handbook's pages were not at hand. The reduced tree and all probabilities but one agree with a restatement
of the NASA version (see test_nasa_fault_tree_handbook); that K1 has 3e-5 here, and what the events mean, is
from memory. The handbook's own total, recalled as about 3.4e-5, is not the sum of these inputs and is
therefore not tested. The numbers below come from adding up all 64 cases apart from this program.
"""

from __future__ import annotations

import pytest

from reference.cut_sets import min_cut_upper_bound, minimal_cut_sets, rare_event_sum
from reference.diagram_queries import posterior_of_event, probability_by_order, top_probability
from reference.votes_tree import FaultTree, Votes

TREE = FaultTree(
    "tank-ruptures",
    {
        "tank-ruptures": Votes(1, ("T", "K2", "switch-and-relay")),
        "switch-and-relay": Votes(2, ("S", "relay")),
        "relay": Votes(1, ("S1", "K1", "R")),
    },
)
Q = {"T": 5e-6, "K2": 3e-5, "S": 1e-4, "K1": 3e-5, "R": 1e-4, "S1": 3e-5}


def test_five_minimal_cut_sets() -> None:
    expected = [{"K2"}, {"T"}, {"K1", "S"}, {"R", "S"}, {"S", "S1"}]
    assert list(map(set, minimal_cut_sets(TREE))) == expected


def test_exact_probability_and_its_two_approximations() -> None:
    cut_sets = minimal_cut_sets(TREE)
    assert rare_event_sum(cut_sets, Q) == pytest.approx(3.5016e-5, rel=1e-12)
    assert min_cut_upper_bound(cut_sets, Q) == pytest.approx(3.501584944e-5, rel=1e-9)
    assert top_probability(TREE, Q) == pytest.approx(3.501584875e-5, rel=1e-9)


def test_which_event_is_to_blame_once_the_tank_has_ruptured() -> None:
    expected = {
        "T": 0.142792,
        "K2": 0.856755,
        "S": 0.000557,
        "R": 0.000386,
        "K1": 0.000116,
        "S1": 0.000116,
    }
    assert posterior_of_event(TREE, Q) == pytest.approx(expected, abs=5e-7)


def test_what_looking_at_few_events_loses() -> None:
    shares = probability_by_order(TREE, Q, 3)
    assert shares[1] == pytest.approx(0.999279, abs=5e-7)
    assert shares[2] == pytest.approx(0.000721, abs=5e-7)
    assert shares[3] == pytest.approx(4.4e-8, abs=5e-10)
