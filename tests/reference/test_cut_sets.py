"""What a fault tree refuses, and which of its cut sets are minimal."""

from __future__ import annotations

import networkx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from inference.random_trees import failing_sets, fault_trees, is_true, trees_with_probabilities
from kickover.core.problem import KickoverError
from reference.cut_sets import min_cut_upper_bound, minimal_cut_sets, rare_event_sum
from reference.diagram_queries import top_probability
from reference.votes_tree import (
    CyclicTreeError,
    FaultTree,
    ProbabilityError,
    UnknownTopError,
    Votes,
    VotesOutOfRangeError,
    basic_events,
    gates_under_top,
)

NO_SPARK_AND_NO_FUEL = FaultTree(
    "dead",
    {
        "dead": Votes(1, ("no-spark", "no-fuel", "seized")),
        "no-spark": Votes(1, ("coil-open", "damp")),
        "no-fuel": Votes(2, ("tap-shut", "reserve-empty", "damp")),
    },
)


def sets(*cut_sets: str) -> tuple[frozenset[str], ...]:
    return tuple(frozenset(each.split()) for each in cut_sets)


def test_cut_sets_come_by_order_and_then_by_name() -> None:
    found = minimal_cut_sets(NO_SPARK_AND_NO_FUEL)
    assert found == sets("coil-open", "damp", "seized", "reserve-empty tap-shut")


def test_basic_events_come_in_the_order_of_a_depth_first_walk() -> None:
    assert basic_events(NO_SPARK_AND_NO_FUEL) == ("coil-open", "damp", "tap-shut", "reserve-empty", "seized")


def test_what_is_not_under_the_top_plays_no_part() -> None:
    gates = {**NO_SPARK_AND_NO_FUEL.gates, "noise": Votes(1, ("bearing", "dead"))}
    tree = FaultTree("no-spark", gates)
    assert basic_events(tree) == ("coil-open", "damp")
    assert gates_under_top(tree) == ("no-spark",)
    assert minimal_cut_sets(tree) == sets("coil-open", "damp")


def test_an_input_listed_twice_counts_twice() -> None:
    assert minimal_cut_sets(FaultTree("top", {"top": Votes(2, ("a", "a", "b"))})) == sets("a")


@given(fault_trees())
def test_minimal_cut_sets_are_the_failing_sets_with_no_failing_set_inside(tree: FaultTree) -> None:
    failing = failing_sets(tree)
    minimal = [each for each in failing if not any(smaller < each for smaller in failing)]
    found = minimal_cut_sets(tree)
    assert len(found) == len(minimal)
    assert set(found) == set(minimal)


@given(fault_trees(), st.integers(0, 4))
def test_a_limit_on_the_order_only_leaves_out_longer_sets(tree: FaultTree, max_order: int) -> None:
    within = tuple(each for each in minimal_cut_sets(tree) if len(each) <= max_order)
    assert minimal_cut_sets(tree, max_order=max_order) == within


@given(fault_trees(), st.sets(st.sampled_from("abcdefg")))
def test_the_top_is_true_exactly_when_a_whole_cut_set_has_failed(tree: FaultTree, failed: set[str]) -> None:
    covered = any(cut_set <= failed for cut_set in minimal_cut_sets(tree))
    assert is_true(tree, tree.top, frozenset(failed)) == covered


@given(trees_with_probabilities())
def test_exact_bound_and_rare_event_sum_come_in_this_order(drawn: tuple[FaultTree, dict[str, float]]) -> None:
    tree, q = drawn
    cut_sets = minimal_cut_sets(tree)
    bound = min_cut_upper_bound(cut_sets, q)
    assert top_probability(tree, q) <= bound + 1e-12
    assert bound <= rare_event_sum(cut_sets, q) + 1e-12


def test_the_approximations_of_two_of_three() -> None:
    # Worked by hand: .02 + .03 + .06, and 1 - (1 - .02)(1 - .03)(1 - .06).
    q = {"a": 0.1, "b": 0.2, "c": 0.3}
    cut_sets = minimal_cut_sets(FaultTree("top", {"top": Votes(2, ("a", "b", "c"))}))
    assert rare_event_sum(cut_sets, q) == pytest.approx(0.11, rel=1e-14)
    assert min_cut_upper_bound(cut_sets, q) == pytest.approx(0.106436, rel=1e-14)


def test_the_upper_bound_copes_with_certain_and_with_tiny_events() -> None:
    assert min_cut_upper_bound(sets("a", "b"), {"a": 1.0, "b": 0.5}) == 1
    assert min_cut_upper_bound(sets("a", "b"), {"a": 1e-20, "b": 2e-20}) == pytest.approx(3e-20, rel=1e-14)


def test_without_cut_sets_nothing_can_happen() -> None:
    assert rare_event_sum((), {}) == 0
    assert min_cut_upper_bound((), {}) == 0


INPUTS = st.lists(st.sampled_from("abcdexy"), min_size=1, max_size=3)


@given(st.dictionaries(st.sampled_from("abcde"), INPUTS))
def test_a_tree_is_refused_exactly_when_its_links_run_in_a_circle(links: dict[str, list[str]]) -> None:
    gates = {"top": Votes(1, ("x",)), **{name: Votes(1, tuple(inputs)) for name, inputs in links.items()}}
    graph = networkx.DiGraph((name, each) for name, inputs in links.items() for each in inputs)
    if networkx.is_directed_acyclic_graph(graph):
        assert FaultTree("top", gates).top == "top"
        return
    with pytest.raises(CyclicTreeError) as refused:
        FaultTree("top", gates)
    cycle = refused.value.cycle
    assert cycle[0] == cycle[-1]
    assert networkx.is_simple_path(graph, cycle[:-1])
    assert graph.has_edge(cycle[-2], cycle[-1])
    assert " -> ".join(cycle) in str(refused.value)


def test_the_top_must_be_a_gate() -> None:
    with pytest.raises(UnknownTopError, match="no gate named 'seized'"):
        FaultTree("seized", NO_SPARK_AND_NO_FUEL.gates)


@pytest.mark.parametrize("needed", [-1, 0, 3])
def test_a_gate_needs_at_least_one_and_at_most_all_of_its_inputs(needed: int) -> None:
    with pytest.raises(VotesOutOfRangeError, match=f"'top' needs {needed} of its 2 inputs"):
        FaultTree("top", {"top": Votes(needed, ("a", "b"))})


def test_a_gate_must_have_inputs() -> None:
    with pytest.raises(VotesOutOfRangeError, match="0 inputs"):
        FaultTree("top", {"top": Votes(1, ())})


@pytest.mark.parametrize("wrong", [-0.1, 1.1, float("nan")])
def test_probabilities_lie_between_0_and_1(wrong: float) -> None:
    with pytest.raises(ProbabilityError, match="'a' has probability"):
        rare_event_sum(sets("a"), {"a": wrong})


def test_every_event_needs_a_probability() -> None:
    with pytest.raises(ProbabilityError, match="'b' has no probability"):
        min_cut_upper_bound(sets("a b"), {"a": 0.5})


def test_every_refusal_can_be_caught_as_the_programs_own_error() -> None:
    for refusal in (CyclicTreeError, ProbabilityError, UnknownTopError, VotesOutOfRangeError):
        assert issubclass(refusal, KickoverError)


def test_a_tree_deeper_than_any_recursion_limit_is_worked_through() -> None:
    depth = 20_000
    gates = {f"gate-{n}": Votes(1, (f"gate-{n + 1}",)) for n in range(depth)}
    gates[f"gate-{depth}"] = Votes(2, ("a", "b"))
    assert minimal_cut_sets(FaultTree("gate-0", gates)) == sets("a b")


def test_a_wide_tree_with_shared_branches_is_cut_by_order_as_it_grows() -> None:
    # Two or-gates of 60 pairs each, joined by an and-gate: 3,600 quadruples, and 20 pairs that both have.
    pairs = {f"pair-{n}": Votes(2, (f"left-{n}", f"right-{n}")) for n in range(100)}
    tree = FaultTree(
        "top",
        pairs
        | {
            "first": Votes(1, tuple(f"pair-{n}" for n in range(60))),
            "second": Votes(1, tuple(f"pair-{n}" for n in range(40, 100))),
            "top": Votes(2, ("first", "second")),
        },
    )
    shared = {frozenset({f"left-{n}", f"right-{n}"}) for n in range(40, 60)}
    assert set(minimal_cut_sets(tree, max_order=3)) == shared
    assert len(minimal_cut_sets(tree)) == 20 + 40 * 40
