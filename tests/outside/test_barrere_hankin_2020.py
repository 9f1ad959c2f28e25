"""The fire protection system of Barrère & Hankin (2020), arXiv 2007.08255, Figure 1.

Tree and probabilities were read in an open restatement, which also gives the cut sets with their
probabilities and 0.0305 as their sum. Everything else was worked out apart from this program. The priors are
large, so that cutting at two failed events keeps only four fifths of the whole.
"""

from __future__ import annotations

import math

import pytest

from reference.cut_sets import min_cut_upper_bound, minimal_cut_sets, rare_event_sum
from reference.diagram_queries import posterior_of_event, probability_by_order, top_probability
from reference.votes_tree import FaultTree, Votes

TREE = FaultTree(
    "fire-protection-fails",
    {
        "fire-protection-fails": Votes(1, ("detection-fails", "suppression-fails")),
        "detection-fails": Votes(2, ("x1", "x2")),
        "suppression-fails": Votes(1, ("x3", "triggering-fails", "x4")),
        "triggering-fails": Votes(2, ("x5", "remote-control-fails")),
        "remote-control-fails": Votes(1, ("x6", "x7")),
    },
)
Q = {"x1": 0.2, "x2": 0.1, "x3": 0.001, "x4": 0.002, "x5": 0.05, "x6": 0.1, "x7": 0.05}


def test_published_cut_sets_with_their_probabilities() -> None:
    expected = {
        frozenset({"x3"}): 0.001,
        frozenset({"x4"}): 0.002,
        frozenset({"x1", "x2"}): 0.02,
        frozenset({"x5", "x6"}): 0.005,
        frozenset({"x5", "x7"}): 0.0025,
    }
    cut_sets = minimal_cut_sets(TREE)
    assert cut_sets == tuple(expected)
    found = {cut_set: math.prod(Q[event] for event in cut_set) for cut_set in cut_sets}
    assert found == pytest.approx(expected, rel=1e-12)


def test_published_rare_event_sum() -> None:
    assert rare_event_sum(minimal_cut_sets(TREE), Q) == pytest.approx(0.0305, rel=1e-12)


def test_exact_probability_and_upper_bound() -> None:
    assert top_probability(TREE, Q) == pytest.approx(0.03002173921, rel=1e-9)
    assert min_cut_upper_bound(minimal_cut_sets(TREE), Q) == pytest.approx(0.030253791, rel=1e-7)


def test_which_event_is_to_blame() -> None:
    expected = {
        "x1": 0.727497,
        "x2": 0.693434,
        "x3": 0.033309,
        "x4": 0.066618,
        "x5": 0.274155,
        "x6": 0.239131,
        "x7": 0.119565,
    }
    assert posterior_of_event(TREE, Q) == pytest.approx(expected, abs=5e-7)


def test_two_failed_events_keep_only_four_fifths() -> None:
    expected = {1: 0.058362, 2: 0.740603, 3: 0.190198, 4: 0.010641, 5: 0.000196}
    shares = probability_by_order(TREE, Q, 5)
    assert shares == pytest.approx(expected, abs=5e-7)
    assert shares[1] + shares[2] == pytest.approx(0.8, abs=0.005)
