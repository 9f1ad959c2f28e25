"""The three-motor tree, motor 2 only: 18 basic events, each with q = 0.02.

Input and printed report (9 April 2014: 54 cut sets, probability by inclusion and exclusion, share of each
event) were read in an open collection of fault-tree inputs, folder ThreeMotor. The
three motors are an example of NUREG-0492, chapter IX (from memory; not compared with the handbook). The
report counts the three timers KT1 to KT3 as basic events, and so does this test.

The report's own sum, 2.824405e-3, is 6 parts in 1e7 above the sum of the 54 probabilities that it prints
(2.824403e-3), and its bounds of the exact value stand off just as far; both are held to that accuracy.
"""

from __future__ import annotations

import math
from collections import Counter

import pytest

from reference.cut_sets import minimal_cut_sets, rare_event_sum
from reference.diagram_queries import top_probability
from reference.votes_tree import FaultTree, Votes, basic_events

TREE = FaultTree(
    "motor-2-powered",
    {
        "motor-2-powered": Votes(2, ("k5-closed", "k2-closed")),
        "k5-closed": Votes(1, ("K5", "k5-coil-live")),
        "k5-coil-live": Votes(2, ("k1-closed-in-test", "k3-closed")),
        "k3-closed": Votes(1, ("T2", "K5")),
        "k2-closed": Votes(1, ("K2", "k2-coil-live")),
        "k2-coil-live": Votes(1, ("T1", "k1-closed")),
        "k1-closed": Votes(1, ("K1", "k1-coil-live")),
        "k1-coil-live": Votes(1, ("k1-by-timers", "k1-by-switch")),
        "k1-by-timers": Votes(3, ("KT1", "KT3", "kt2-closed")),
        "kt2-closed": Votes(1, ("KT2", "T4")),
        "k1-by-switch": Votes(1, ("S1", "T3")),
        "k1-closed-in-test": Votes(1, ("K1", "k1-coil-live-in-test")),
        "k1-coil-live-in-test": Votes(1, ("k1-by-timers-in-test", "k1-by-switch-in-test")),
        "k1-by-switch-in-test": Votes(1, ("S1", "T1inc")),
        "k1-by-timers-in-test": Votes(3, ("kt1-in-test", "kt2-in-test", "kt3-in-test")),
        "kt1-in-test": Votes(1, ("KT1inc", "T2inc")),
        "kt2-in-test": Votes(1, ("KT2inc", "T3inc")),
        "kt3-in-test": Votes(1, ("KT3inc", "T4inc")),
    },
)
Q = dict.fromkeys(basic_events(TREE), 0.02)
PUBLISHED_SHARES = {
    "K1": (8.000000e-4, 29.41),
    "K2": (4.080256e-4, 15.00),
    "K5": (2.000320e-3, 73.53),
    "KT1": (3.264205e-7, 0.01),
    "KT1inc": (3.841023e-8, 0.00),
    "KT2": (1.632102e-7, 0.01),
    "KT2inc": (3.841023e-8, 0.00),
    "KT3": (3.264205e-7, 0.01),
    "KT3inc": (3.841023e-8, 0.00),
    "S1": (8.000000e-4, 29.41),
    "T1": (4.080256e-4, 15.00),
    "T1inc": (2.400640e-5, 0.88),
    "T2": (8.240832e-4, 30.29),
    "T2inc": (3.841023e-8, 0.00),
    "T3": (4.080256e-4, 15.00),
    "T3inc": (3.841023e-8, 0.00),
    "T4": (1.632102e-7, 0.01),
    "T4inc": (3.841023e-8, 0.00),
}


def test_published_cut_sets_of_orders_two_to_four() -> None:
    assert minimal_cut_sets(TREE, max_order=4) == tuple(
        set(line.split())
        for line in (
            "K1 K5",
            "K1 T2",
            "K2 K5",
            "K5 S1",
            "K5 T1",
            "K5 T3",
            "S1 T2",
            "K2 T1inc T2",
            "T1 T1inc T2",
            "T1inc T2 T3",
            "K5 KT1 KT2 KT3",
            "K5 KT1 KT3 T4",
        )
    )


def test_published_number_of_cut_sets_of_each_order() -> None:
    assert len(basic_events(TREE)) == 18
    assert Counter(map(len, minimal_cut_sets(TREE))) == {2: 7, 3: 3, 4: 2, 5: 26, 7: 16}


def test_published_rare_event_sum() -> None:
    total = rare_event_sum(minimal_cut_sets(TREE), Q)
    assert total == pytest.approx(2.824405e-3, rel=1e-6)
    assert total == pytest.approx(7 * 0.02**2 + 3 * 0.02**3 + 2 * 0.02**4 + 26 * 0.02**5 + 16 * 0.02**7)


def test_published_probability_by_six_terms_of_inclusion_and_exclusion() -> None:
    assert top_probability(TREE, Q) == pytest.approx(2.720245e-3, rel=1e-6)


@pytest.mark.parametrize("event", PUBLISHED_SHARES)
def test_published_probability_of_the_cut_sets_with_an_event(event: str) -> None:
    contribution, percent = PUBLISHED_SHARES[event]
    with_it = [cut_set for cut_set in minimal_cut_sets(TREE) if event in cut_set]
    assert rare_event_sum(with_it, Q) == pytest.approx(contribution, rel=2e-7)
    assert 100 * rare_event_sum(with_it, Q) / top_probability(TREE, Q) == pytest.approx(percent, abs=0.00501)


def test_published_probability_that_any_component_fails() -> None:
    anything = FaultTree("anything", {"anything": Votes(1, tuple(Q))})
    assert top_probability(anything, Q) == pytest.approx(3.048647e-1, abs=5e-8)
    assert math.isclose(top_probability(anything, Q), 1 - 0.98**18, rel_tol=1e-12)
