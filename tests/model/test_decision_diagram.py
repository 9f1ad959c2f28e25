"""Exact probabilities, held against adding up every case one by one."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inference.random_trees import (
    chance_of_exactly,
    failing_sets,
    fault_trees,
    is_true,
    trees_with_probabilities,
)
from kickover.core.problem import KickoverError
from kickover.model.decision_diagram import (
    FALSE,
    TRUE,
    DiagramTooLargeError,
    ImpossibleTopError,
)
from reference.diagram_queries import (
    birnbaum_importance,
    decision_diagram,
    posterior_of_event,
    probability_by_order,
    top_probability,
)
from reference.votes_tree import FaultTree, ProbabilityError, Votes, basic_events

Drawn = tuple[FaultTree, dict[str, float]]
TWO_OF_THREE = FaultTree("top", {"top": Votes(2, ("a", "b", "c"))})
Q = {"a": 0.1, "b": 0.2, "c": 0.3}


def counted(drawn: Drawn) -> float:
    tree, q = drawn
    return math.fsum(chance_of_exactly(failed, q) for failed in failing_sets(tree))


def test_two_of_three_by_hand() -> None:
    # ab(1-c) + a(1-b)c + (1-a)bc + abc = .014 + .024 + .054 + .006
    assert top_probability(TWO_OF_THREE, Q) == pytest.approx(0.098, rel=1e-14)
    assert posterior_of_event(TWO_OF_THREE, Q)["a"] == pytest.approx(0.044 / 0.098, rel=1e-14)
    assert birnbaum_importance(TWO_OF_THREE, Q)["a"] == pytest.approx(0.38, rel=1e-14)
    shares = probability_by_order(TWO_OF_THREE, Q, 3)
    assert shares == pytest.approx({1: 0, 2: 0.092 / 0.098, 3: 0.006 / 0.098}, rel=1e-14)


def test_a_bridge_of_five_edges() -> None:
    # Cut sets {a,d}, {b,e}, {a,c,e}, {b,c,d}, all with q = .1: .02152 by enumeration of the 32 cases.
    tree = FaultTree(
        "top",
        {
            "top": Votes(1, ("ad", "be", "ace", "bcd")),
            "ad": Votes(2, ("a", "d")),
            "be": Votes(2, ("b", "e")),
            "ace": Votes(3, ("a", "c", "e")),
            "bcd": Votes(3, ("b", "c", "d")),
        },
    )
    assert top_probability(tree, dict.fromkeys("abcde", 0.1)) == pytest.approx(0.02152, rel=1e-13)


@given(trees_with_probabilities())
def test_the_top_is_as_probable_as_all_its_cases_together(drawn: Drawn) -> None:
    assert top_probability(*drawn) == pytest.approx(counted(drawn), rel=1e-9, abs=1e-300)


@given(trees_with_probabilities())
def test_birnbaum_importance_is_the_difference_that_an_event_makes(drawn: Drawn) -> None:
    tree, q = drawn
    for event, importance in birnbaum_importance(tree, q).items():
        with_it, without_it = counted((tree, q | {event: 1.0})), counted((tree, q | {event: 0.0}))
        assert importance == pytest.approx(with_it - without_it, abs=1e-12)


@given(trees_with_probabilities(lowest=0.001))
def test_the_posterior_of_an_event_is_its_share_of_the_failing_cases(drawn: Drawn) -> None:
    tree, q = drawn
    posterior = posterior_of_event(tree, q)
    assert tuple(posterior) == basic_events(tree)
    for event, probability in posterior.items():
        together = math.fsum(chance_of_exactly(failed, q) for failed in failing_sets(tree) if event in failed)
        assert probability == pytest.approx(together / counted(drawn), rel=1e-9)


@given(trees_with_probabilities(lowest=0.001), st.integers(0, 9))
def test_shares_by_order_add_up_the_cases_with_so_many_failed_events(drawn: Drawn, max_order: int) -> None:
    tree, q = drawn
    shares = probability_by_order(tree, q, max_order)
    assert tuple(shares) == tuple(range(1, max_order + 1))
    for order, share in shares.items():
        cases = (chance_of_exactly(failed, q) for failed in failing_sets(tree) if len(failed) == order)
        assert share == pytest.approx(math.fsum(cases) / counted(drawn), rel=1e-9, abs=1e-300)


@given(trees_with_probabilities(lowest=0.001))
def test_all_orders_together_lose_nothing(drawn: Drawn) -> None:
    tree, q = drawn
    assert sum(probability_by_order(tree, q, len(q)).values()) == pytest.approx(1, rel=1e-12)


@given(fault_trees(), st.sets(st.sampled_from("abcdefg")))
def test_following_the_answers_leads_to_the_truth_of_the_top(tree: FaultTree, failed: set[str]) -> None:
    diagram = decision_diagram(tree)
    node = diagram.root
    while node not in (FALSE, TRUE):
        side = diagram.high if diagram.events[diagram.level[node]] in failed else diagram.low
        node = side[node]
    assert (node == TRUE) == is_true(tree, tree.top, frozenset(failed))


@given(fault_trees())
def test_a_diagram_is_reduced_and_ordered(tree: FaultTree) -> None:
    diagram = decision_diagram(tree)
    questions = [(diagram.level[node], diagram.low[node], diagram.high[node]) for node in diagram.nodes()]
    assert len(set(questions)) == len(questions)
    for node, (level, low, high) in zip(diagram.nodes(), questions, strict=True):
        assert low != high
        assert max(low, high) < node
        assert level < min(diagram.level[low], diagram.level[high])


@given(trees_with_probabilities(lowest=0.001))
def test_a_diagram_built_once_answers_as_its_tree_does(drawn: Drawn) -> None:
    tree, q = drawn
    diagram = decision_diagram(tree)
    assert top_probability(diagram, q) == top_probability(tree, q)
    assert posterior_of_event(diagram, q) == posterior_of_event(tree, q)
    assert probability_by_order(diagram, q, 2) == probability_by_order(tree, q, 2)


def test_an_impossible_top_leaves_nothing_to_say() -> None:
    never = dict.fromkeys("abc", 0.0)
    assert top_probability(TWO_OF_THREE, never) == 0
    for ask in (posterior_of_event, lambda tree, q: probability_by_order(tree, q, 2)):
        with pytest.raises(ImpossibleTopError, match="cannot come about"):
            ask(TWO_OF_THREE, never)


def test_every_event_of_the_tree_needs_a_probability() -> None:
    with pytest.raises(ProbabilityError, match="'c' has no probability"):
        top_probability(TWO_OF_THREE, {"a": 0.1, "b": 0.2})


def test_a_diagram_over_its_limit_is_refused() -> None:
    # All left halves are asked for before any right one, so there are 2^12 things to remember.
    lefts, rights = ([f"{side}-{n}" for n in range(12)] for side in ("left", "right"))
    gates = {f"pair-{n}": Votes(2, (lefts[n], rights[n])) for n in range(12)}
    gates["all-left"] = Votes(12, tuple(lefts))
    gates["top"] = Votes(1, ("all-left", *(f"pair-{n}" for n in range(12))))
    tree = FaultTree("top", gates)
    with pytest.raises(DiagramTooLargeError, match="more than 1000 nodes"):
        decision_diagram(tree, node_limit=1000)
    assert len(decision_diagram(tree, node_limit=100_000).level) > 2**12


def test_refusals_are_the_programs_own_errors() -> None:
    assert issubclass(DiagramTooLargeError, KickoverError)
    assert issubclass(ImpossibleTopError, KickoverError)


def test_a_diagram_deeper_than_any_recursion_limit_is_worked_through() -> None:
    # An or-gate of or-gates: 1 - (1 - q)^n, and each event as the only one with q (1 - q)^(n - 1).
    events = 5_000
    gates = {f"gate-{n}": Votes(1, (f"event-{n}", f"gate-{n + 1}")) for n in range(events - 1)}
    gates[f"gate-{events - 1}"] = Votes(1, (f"event-{events - 1}",))
    tree = FaultTree("gate-0", gates)
    q = dict.fromkeys(basic_events(tree), 1e-4)
    exact = -math.expm1(events * math.log1p(-1e-4))
    diagram = decision_diagram(tree)
    assert len(diagram.level) == events + 2
    assert top_probability(diagram, q) == pytest.approx(exact, rel=1e-10)
    alone = events * 1e-4 * math.exp((events - 1) * math.log1p(-1e-4)) / exact
    assert probability_by_order(diagram, q, 1)[1] == pytest.approx(alone, rel=1e-10)
