from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kickover.core.ids import EventId
from kickover.documents.trees.branches import Size, TreeError, branches_of, page_of, reach
from kickover.model.library import Input, Is, Library
from worlds.tree_library import (
    cause,
    check,
    courier_library,
    four_stroke,
    gate,
    library,
    two_stroke,
)


def ids(*names: str) -> tuple[EventId, ...]:
    return tuple(EventId(name) for name in names)


def test_a_gate_mark_counts_only_the_inputs_that_are_left() -> None:
    tree = library(
        [gate("top", ["a", "b", "c"], needed=2)],
        [cause("a"), cause("b"), cause("c", only_if=Is("two-stroke"))],
    )
    assert branches_of(tree, ids("top"), two_stroke()).mark(EventId("top")) == "2/3"
    assert branches_of(tree, ids("top"), four_stroke()).mark(EventId("top")) == "&"


def test_a_gate_without_enough_inputs_is_impossible_and_so_is_what_needs_it() -> None:
    tree = library(
        [gate("top", ["both", "c"]), gate("both", ["a", "b"], needed=2)],
        [cause("a"), cause("b", only_if=Is("two-stroke")), cause("c")],
    )
    branches = branches_of(tree, ids("top"), four_stroke())
    assert branches.impossible == {"b", "both"}
    assert branches.inputs[EventId("top")] == (Input(EventId("c")),)


def test_checks_are_listed_at_each_event_that_they_observe() -> None:
    tree = library(
        [gate("top", ["a"])], [cause("a")],
        checks=[check("seen", Is("top")), check("felt", Is("a")),
                check("other", Is("a"), only_if=Is("two-stroke"))],
    )  # fmt: skip
    branches = branches_of(tree, ids("top"), four_stroke())
    assert {event: [one.id for one in checks] for event, checks in branches.checks.items()} == {
        "top": ["seen"], "a": ["felt"],
    }  # fmt: skip


def test_a_loop_is_an_error_and_not_a_hang() -> None:
    tree = library([gate("a", ["b"]), gate("b", ["a"])])
    with pytest.raises(TreeError, match="back into itself"):
        branches_of(tree, ids("a"), None)


def test_a_large_branch_of_another_room_is_pointed_at_and_a_small_one_is_drawn() -> None:
    tree = courier_library()
    branches = branches_of(tree, ids("will-not-start"), None)
    page = page_of(branches, ids("will-not-start"), frozenset(ids("no-fuel", "cold-and-weak")))
    assert page.transfers == {"no-fuel"}
    assert "tap-shut" not in page.events
    assert "engine-cold" in page.events


def test_what_is_all_that_a_complaint_has_is_drawn_and_not_pointed_at() -> None:
    tree = library([gate("top", ["state"]), gate("state", list("abcdef"))], [cause(one) for one in "abcdef"])
    branches = branches_of(tree, ids("top"), None)
    page = page_of(branches, ids("top"), frozenset(ids("state")))
    assert page.transfers == frozenset()
    assert set("abcdef") <= set(page.events)


def test_a_top_of_a_tree_is_never_only_pointed_at() -> None:
    names = [f"c{number}" for number in range(30)]
    tree = library([gate("one", names), gate("two", ["c1"])], [cause(name) for name in names])
    page = page_of(branches_of(tree, ids("one", "two"), None), ids("one", "two"), frozenset())
    assert page.transfers == frozenset()


def deep_library(depth: int, breadth: int) -> Library:
    gates = [
        gate(
            f"g{level}",
            [*(f"c{level}-{one}" for one in range(breadth)), *([f"g{level + 1}"] if level < depth else [])],
        )
        for level in range(depth + 1)
    ]
    return library(gates, [cause(f"c{level}-{one}") for level in range(depth + 1) for one in range(breadth)])


@given(st.integers(1, 12), st.integers(1, 9), st.integers(6, 20), st.integers(3, 6))
def test_a_page_keeps_to_its_size_and_the_pages_it_points_at_show_every_event(
    depth: int, breadth: int, rows: int, levels: int
) -> None:
    tree = deep_library(depth, breadth)
    branches = branches_of(tree, ids("g0"), None)
    shown: set[EventId] = set()
    waiting = list(ids("g0"))
    for top in waiting:
        page = page_of(branches, [top], frozenset(), Size(rows, levels))
        leaves = [event for event in page.events if event in page.transfers or not branches.is_gate(event)]
        assert len(leaves) <= max(rows, breadth + 1)
        shown.update(page.events)
        waiting.extend(transfer for transfer in sorted(page.transfers) if transfer not in waiting)
    assert shown == set(reach(branches, ids("g0"), frozenset()))
