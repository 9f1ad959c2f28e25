"""What one cause alone does, against chances worked out by hand."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kickover.authoring.validate.separation import Effects, Outcomes
from kickover.core.ids import CheckId, EventId, FindingId, MachineId
from kickover.core.problem import SourcePlace
from kickover.model.graph import EventGraph
from kickover.model.library import (
    ALWAYS,
    All,
    Any,
    Check,
    CheckKind,
    Finding,
    Gate,
    Input,
    Is,
    Line,
    Machine,
    Needs,
    Not,
)

HERE = SourcePlace("a.yaml", 1)
MACHINE = Machine(MachineId("m"), "M", frozenset(), HERE)


def gate(event: str, needed: int, **inputs: float) -> Gate:
    lines = tuple(Input(EventId(name), chance) for name, chance in inputs.items())
    return Gate(EventId(event), event, needed, lines, HERE)


def effects(*gates: Gate, houses_hold: bool = True) -> Effects:
    structure = EventGraph({one.id: one for one in gates}, (EventId("a"), EventId("b")), (EventId("hot"),))
    return Effects(structure, MACHINE, houses_hold)


def test_a_cause_carries_up_through_plain_gates() -> None:
    assert effects(gate("low", 1, a=1, b=1), gate("top", 1, low=1)).of(EventId("a")) == {
        "a": 1,
        "low": 1,
        "top": 1,
    }


def test_a_weak_link_passes_with_its_chance() -> None:
    changed = effects(gate("low", 1, a=0.5), gate("top", 1, low=0.5)).of(EventId("a"))
    assert changed == {"a": 1, "low": 0.5, "top": 0.25}


def test_an_and_gate_waits_for_its_house_event() -> None:
    hot_only = gate("low", 2, a=1, hot=1)
    assert effects(hot_only).of(EventId("a")) == {"a": 1, "low": 1}
    assert effects(hot_only, houses_hold=False).of(EventId("a")) == {"a": 1}


def test_two_ways_up_are_one_event_each() -> None:
    changed = effects(gate("p", 1, a=0.5), gate("q", 1, a=0.5), gate("top", 1, p=1, q=1)).of(EventId("a"))
    assert changed["top"] == pytest.approx(0.75)


@given(st.lists(st.floats(0.01, 1), min_size=1, max_size=6), st.integers(1, 6))
def test_a_gate_of_at_least_k_equals_the_sum_over_all_cases(chances: list[float], needed: int) -> None:
    """The binomial sum for unequal chances, from its definition."""
    inputs = {f"i{number}": chance for number, chance in enumerate(chances)}
    feeds = [gate(name, 1, a=chance) for name, chance in inputs.items()]
    top = gate("top", needed, **dict.fromkeys(inputs, 1.0))
    found = effects(*feeds, top).of(EventId("a")).get("top", 0.0)
    total = 0.0
    for case in product((True, False), repeat=len(chances)):
        if sum(case) >= needed:
            weight = 1.0
            for true, chance in zip(case, chances, strict=True):
                weight *= chance if true else 1 - chance
            total += weight
    assert found == pytest.approx(total, abs=1e-12)


def check(*lines: Line) -> Check:
    findings = tuple(Finding(FindingId(name), name) for name in ("yes", "no"))
    return Check(CheckId("c"), "C", CheckKind.LOOK, "?", Needs(1.0), HERE, findings=findings, lines=lines)


def line(when: All | Any | Is | Not, yes: float) -> Line:
    return Line({FindingId("yes"): yes, FindingId("no"): 1 - yes}, HERE, when)


def test_the_first_line_that_holds_gives_the_chances() -> None:
    outcomes = Outcomes([check(line(Is("a"), 0.9), line(Is("b"), 0.5), line(ALWAYS, 0.1))])
    assert outcomes.of(0, {"a": 1, "b": 1}, {}) == (0.9, 0.1)
    assert outcomes.of(0, {"b": 1}, {}) == (0.5, 0.5)
    assert outcomes.of(0, {}, {}) == (0.1, 0.9)


def test_half_a_chance_is_half_of_each_line() -> None:
    outcomes = Outcomes([check(line(Is("a"), 0.9), line(ALWAYS, 0.1))])
    assert outcomes.of(0, {"a": 0.5}, {}) == (0.5, 0.5)


@pytest.mark.parametrize(
    ("when", "expected"),
    [
        (All((Is("a"), Is("b"))), 0.25),
        (Any((Is("a"), Is("b"))), 0.75),
        (Not(Is("a")), 0.5),
        (Not(All((Is("a"), Not(Is("b"))))), 0.75),
    ],
)
def test_conditions_of_uncertain_events(when: All | Any | Not, expected: float) -> None:
    outcomes = Outcomes([check(line(when, 1.0), line(ALWAYS, 0.0))])
    assert outcomes.of(0, {"a": 0.5, "b": 0.5}, {})[0] == pytest.approx(expected)
