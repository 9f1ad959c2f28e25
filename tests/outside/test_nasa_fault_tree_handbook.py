"""Two examples of the NASA Fault Tree Handbook with Aerospace Applications (2002).

Trees, probabilities and published results were read in an open test file that restates the handbook and
quotes the results of a fault-tree benchmark collection, not in the handbook itself.
"""

from __future__ import annotations

import pytest

from reference.cut_sets import minimal_cut_sets, rare_event_sum
from reference.diagram_queries import probability_by_order, top_probability
from reference.votes_tree import FaultTree, Votes

PRESSURE_TANK = FaultTree(
    "tank-ruptures",
    {
        "tank-ruptures": Votes(1, ("T", "K2", "switch-and-relay")),
        "switch-and-relay": Votes(2, ("S", "relay")),
        "relay": Votes(1, ("S1", "K1", "R")),
    },
)
PRESSURE_TANK_Q = {"T": 5e-6, "K2": 3e-5, "S": 1e-4, "K1": 5e-6, "R": 1e-4, "S1": 3e-5}

SEALS = FaultTree(
    "all-seals-fail",
    {
        "all-seals-fail": Votes(1, ("common", "each-alone")),
        "common": Votes(2, ("tape-contaminated", "common-cause")),
        "each-alone": Votes(4, ("metal", "fused", "seal-1", "seal-2")),
    },
)
SEALS_Q = {"tape-contaminated": 0.1, "common-cause": 1e-5} | dict.fromkeys(
    ("metal", "fused", "seal-1", "seal-2"), 1e-3
)


def test_pressure_tank_agrees_with_the_published_probability() -> None:
    # The published figure stands about 3 parts in 1e8 off the exact one, which is its solver's own rounding.
    assert top_probability(PRESSURE_TANK, PRESSURE_TANK_Q) == pytest.approx(3.5013348120867e-5, rel=5e-8)


def test_pressure_tank_agrees_with_adding_up_all_cases() -> None:
    # Not published: all 64 cases added up apart from this program.
    assert top_probability(PRESSURE_TANK, PRESSURE_TANK_Q) == pytest.approx(3.50133491625e-5, rel=1e-11)


def test_pressure_tank_cut_sets() -> None:
    cut_sets = minimal_cut_sets(PRESSURE_TANK)
    assert list(map(set, cut_sets)) == [{"K2"}, {"T"}, {"K1", "S"}, {"R", "S"}, {"S", "S1"}]
    assert rare_event_sum(cut_sets, PRESSURE_TANK_Q) == pytest.approx(3.50135e-5, rel=1e-12)


def test_compression_seals_agree_with_the_published_probability() -> None:
    # 1.000000999999e-6 is quoted, and is .1 * 1e-5 + 1e-12 - 1e-18 by hand.
    assert top_probability(SEALS, SEALS_Q) == pytest.approx(1.000000999999e-6, rel=1e-13)


def test_compression_seals_cut_sets() -> None:
    cut_sets = minimal_cut_sets(SEALS)
    pair, four = {"common-cause", "tape-contaminated"}, {"fused", "metal", "seal-1", "seal-2"}
    assert list(map(set, cut_sets)) == [pair, four]
    assert rare_event_sum(cut_sets, SEALS_Q) == pytest.approx(1.000001e-6, rel=1e-13)


def test_no_single_seal_event_can_do_it() -> None:
    assert probability_by_order(SEALS, SEALS_Q, 1) == {1: 0}
