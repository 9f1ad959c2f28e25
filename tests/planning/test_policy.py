"""Compiling a policy: exact shares and minutes, equal subtrees shared, the rare rest cut."""

from __future__ import annotations

import random

import pytest

from kickover.planning.policy import Policy, PolicyMove, PolicyOutcome, Pruning, compile_policy

# A position is what was answered so far, newest last.
Position = tuple[str, ...]


START: Position = ()


def two_lamps(position: Position) -> PolicyMove[Position]:
    """Look at a lamp (on in 3 of 4), then at another (on in 1 of 2); fix what is dark, else give up."""
    if len(position) == 0:
        return PolicyMove(
            "first", 2.0, (PolicyOutcome("on", 0.75, ("on",)), PolicyOutcome("dark", 0.25, ("dark",)))
        )
    if len(position) == 1:
        name = "second"
        return PolicyMove(
            name,
            1.0,
            (PolicyOutcome("on", 0.5, (*position, "on")), PolicyOutcome("dark", 0.5, (*position, "dark"))),
        )
    if position[-1] == "dark":
        return PolicyMove(
            "mend",
            10.0,
            (PolicyOutcome("gone", 0.9, None), PolicyOutcome("stays", 0.1, None)),
            frozenset({"gone"}),
        )
    return PolicyMove("give-up", 30.0, ())


def test_minutes_and_shares_are_exact() -> None:
    policy = compile_policy(START, two_lamps)
    assert policy.minutes == pytest.approx(2 + 1 + 0.5 * 10 + 0.5 * 30)
    assert policy.confirmed == pytest.approx(0.5 * 0.9)
    assert policy.cut == 0.0


def test_equal_subtrees_are_one_node() -> None:
    policy = compile_policy(START, two_lamps)
    assert [node.step for node in policy.nodes] == ["first", "second", "give-up", "mend"]
    assert policy.nodes[1].share == pytest.approx(1.0)
    assert [way.target for way in policy.nodes[0].ways] == [1, 1]


def test_shares_flow_without_loss() -> None:
    policy = compile_policy(START, two_lamps)
    for node in policy.nodes:
        assert not node.ways or sum(way.share for way in node.ways) == pytest.approx(node.share)


def test_what_is_rare_is_cut_with_its_share() -> None:
    def drawn_out(position: Position) -> PolicyMove[Position]:
        return PolicyMove(
            len(position),
            1.0,
            (PolicyOutcome("no", 0.9, None), PolicyOutcome("yes", 0.1, (*position, "yes"))),
        )

    policy = compile_policy(START, drawn_out, Pruning(least_share=0.005))
    assert policy.cut == pytest.approx(0.001)
    assert policy.nodes[-1].step is None
    assert policy.minutes == pytest.approx(1.11)


def test_depth_and_size_are_bounded() -> None:
    def endless(position: Position) -> PolicyMove[Position]:
        return PolicyMove(len(position), 1.0, (PolicyOutcome("on", 1.0, (*position, "x")),))

    assert len(compile_policy(START, endless, Pruning(deepest=5)).nodes) == 7
    assert len(compile_policy(START, endless, Pruning(deepest=500, most_nodes=10)).nodes) == 11


def test_simulated_walks_agree_with_the_exact_minutes() -> None:
    policy = compile_policy(START, two_lamps)
    rng = random.Random(1)
    walks = [simulated(policy, rng) for _ in range(4000)]
    mean = sum(walks) / len(walks)
    spread = (sum((walk - mean) ** 2 for walk in walks) / len(walks)) ** 0.5
    assert abs(mean - policy.minutes) < 4 * spread / len(walks) ** 0.5


def simulated(policy: Policy, rng: random.Random) -> float:
    node, minutes = policy.nodes[0], 0.0
    while True:
        minutes += node.minutes
        if not node.ways:
            return minutes
        way = rng.choices(node.ways, [one.share for one in node.ways])[0]
        if way.target is None:
            return minutes
        node = policy.nodes[way.target]
