"""The tree as a graph: against small trees whose answers are plain to see."""

from __future__ import annotations

from kickover.core.ids import EventId
from kickover.core.problem import SourcePlace
from kickover.model.graph import EventGraph
from kickover.model.library import Gate, Input

A, B, C, TOP, MIDDLE = (EventId(name) for name in ("a", "b", "c", "top", "middle"))
HOUSE = EventId("house")


def gate(event: EventId, needed: int, *inputs: EventId) -> Gate:
    lines = tuple(Input(input_) for input_ in inputs)
    return Gate(event, event, needed, lines, SourcePlace("a.yaml", 1))


def tree(*gates: Gate) -> EventGraph:
    return EventGraph({one.id: one for one in gates}, (A, B, C), (HOUSE,))


def test_each_gate_comes_after_its_inputs() -> None:
    structure = tree(gate(TOP, 1, MIDDLE, A), gate(MIDDLE, 1, B, C))
    assert structure.order == (MIDDLE, TOP)


def test_a_loop_is_spelled_out_from_its_smallest_id() -> None:
    structure = tree(gate(TOP, 1, MIDDLE), gate(MIDDLE, 1, C, TOP), gate(C, 1, A))
    assert structure.loops == ((MIDDLE, TOP),)


def test_an_event_under_two_gates_is_no_loop() -> None:
    assert tree(gate(TOP, 1, MIDDLE, A), gate(MIDDLE, 1, A, B)).loops == ()


def test_what_lies_below_is_found_through_loops_as_well() -> None:
    structure = tree(gate(TOP, 1, MIDDLE), gate(MIDDLE, 1, TOP, A))
    assert structure.below([TOP]) == {TOP, MIDDLE, A}


def test_parents_are_named_once_each() -> None:
    assert tree(gate(TOP, 1, A, A)).parents[A] == [TOP]


def test_an_event_is_possible_when_enough_of_its_inputs_are() -> None:
    structure = tree(gate(TOP, 2, A, B, C))
    assert TOP in structure.possible({A, C})
    assert TOP not in structure.possible({A})
