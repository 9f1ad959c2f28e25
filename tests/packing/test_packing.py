"""The integer program gives what trying everything gives."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kickover.packing.knapsack import Capacity, Goal, best_pack, weight_of

ITEMS = tuple("abcdefgh")
subsets = st.frozensets(st.sampled_from(ITEMS), max_size=4)
goals = st.builds(
    Goal,
    st.integers(1, 40).map(lambda weight: weight / 100),
    st.lists(subsets, max_size=3).map(tuple),
)
limits = st.builds(
    Capacity,
    st.integers(0, 30).map(float),
    st.fixed_dictionaries({item: st.integers(0, 12).map(float) for item in ITEMS}),
)


def fits(taken: frozenset[str], within: list[Capacity]) -> bool:
    return all(sum(limit.use.get(item, 0.0) for item in taken) <= limit.most + 1e-9 for limit in within)


def every_pack(within: list[Capacity]) -> list[frozenset[str]]:
    packs = (frozenset(some) for size in range(len(ITEMS) + 1) for some in combinations(ITEMS, size))
    return [pack for pack in packs if fits(pack, within)]


@settings(deadline=None, max_examples=150)
@given(st.lists(goals, max_size=8), st.lists(limits, min_size=1, max_size=3))
def test_the_best_pack_is_the_best_of_all_packs_and_the_lightest_of_those(
    wanted: list[Goal], within: list[Capacity]
) -> None:
    chosen = best_pack(wanted, within)
    assert fits(chosen, within)
    tried = every_pack(within)
    best = max(weight_of(wanted, pack) for pack in tried)
    assert weight_of(wanted, chosen) == pytest.approx(best, abs=1e-9)

    def use(pack: frozenset[str]) -> float:
        return sum(within[0].use.get(item, 0.0) for item in pack)

    lightest = min(use(pack) for pack in tried if weight_of(wanted, pack) >= best - 1e-9)
    assert use(chosen) == pytest.approx(lightest)


def test_a_goal_that_needs_a_whole_set_is_worth_nothing_by_halves() -> None:
    wanted = [Goal(0.9, (frozenset("ab"),)), Goal(0.5, (frozenset("c"),))]
    within = [Capacity(3.0, {"a": 2.0, "b": 2.0, "c": 3.0})]
    assert best_pack(wanted, within) == {"c"}
    assert best_pack(wanted, [Capacity(4.0, within[0].use)]) == {"a", "b"}


def test_shared_items_count_once() -> None:
    wanted = [Goal(0.3, (frozenset("ab"),)), Goal(0.3, (frozenset("ac"),)), Goal(0.5, (frozenset("d"),))]
    assert best_pack(wanted, [Capacity(3.0, {"a": 1.0, "b": 1.0, "c": 1.0, "d": 3.0})]) == {"a", "b", "c"}


def test_without_goals_or_room_nothing_is_taken() -> None:
    assert best_pack([], [Capacity(5.0, {"a": 1.0})]) == frozenset()
    assert best_pack([Goal(1.0, (frozenset("a"),))], [Capacity(0.5, {"a": 1.0})]) == frozenset()
    assert best_pack([Goal(1.0, (frozenset(),))], [Capacity(5.0, {})]) == frozenset()
