"""Random small fault trees, and the slow and obvious way to reckon with them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from itertools import combinations

from hypothesis import strategies as st

from reference.votes_tree import FaultTree, Votes, basic_events

EVENTS = tuple("abcdefg")


@st.composite
def fault_trees(draw: st.DrawFn) -> FaultTree:
    """Draw a tree of up to seven basic events whose gates vote, and share events and gates."""
    known = list(EVENTS[: draw(st.integers(1, len(EVENTS)))])
    gates: dict[str, Votes] = {}
    for number in range(draw(st.integers(1, 6))):
        inputs = tuple(draw(st.lists(st.sampled_from(known), min_size=1, max_size=4)))
        gates[f"gate-{number}"] = Votes(draw(st.integers(1, len(inputs))), inputs)
        known.append(f"gate-{number}")
    return FaultTree(known[-1], gates)


@st.composite
def trees_with_probabilities(draw: st.DrawFn, *, lowest: float = 0.0) -> tuple[FaultTree, dict[str, float]]:
    """Draw a tree and a probability, from `lowest` to 1, for each of its basic events."""
    tree = draw(fault_trees())
    probability = st.floats(lowest, 1, allow_subnormal=False)
    return tree, {event: draw(probability) for event in basic_events(tree)}


def is_true(tree: FaultTree, name: str, failed: frozenset[str]) -> bool:
    """Tell whether an event is true, straight from what gates mean."""
    if name not in tree.gates:
        return name in failed
    gate = tree.gates[name]
    return sum(is_true(tree, each, failed) for each in gate.inputs) >= gate.needed


def subsets(events: Iterable[str]) -> Iterator[frozenset[str]]:
    """List every subset, the small ones first."""
    pool = tuple(events)
    for order in range(len(pool) + 1):
        yield from map(frozenset, combinations(pool, order))


def failing_sets(tree: FaultTree) -> list[frozenset[str]]:
    """List every set of failed events for which the top event is true."""
    return [failed for failed in subsets(basic_events(tree)) if is_true(tree, tree.top, failed)]


def chance_of_exactly(failed: frozenset[str], q: Mapping[str, float]) -> float:
    """Give the probability that these events are true and all others of `q` are not."""
    return math.prod(q[event] if event in failed else 1 - q[event] for event in q)
