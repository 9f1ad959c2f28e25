"""The compiled model: which line of a check holds for which hypothesis."""

from __future__ import annotations

import pytest

from kickover.core.ids import CheckId, EventId, MachineId
from kickover.inference.compiled_model import EngineState, compile_model
from kickover.inference.hypotheses import ENDED, UNLISTED
from kickover.model.library import Library, holds


@pytest.mark.parametrize("machine", ["clip-on-two-stroke", "electric-step-through"])
def test_every_line_position_is_the_first_that_holds(shipped: Library, machine: str) -> None:
    """The slow way: evaluate each condition for each single cause with every weak link as the row has it."""
    model = compile_model(shipped, shipped.machines[MachineId(machine)], [EventId("no-spark-seen")])
    state = EngineState(model.hypotheses.houses)
    truth = model.truth(state.houses)
    for row in range(0, model.hypotheses.count - UNLISTED, 7):
        true = {event for event, bits in truth.items() if bits[row // 8] >> (7 - row % 8) & 1}
        for id_, check in model.checks.items():
            expected = next(
                place for place, line in enumerate(check.lines) if holds(line.when, true.__contains__)
            )
            assert model.line_positions(id_, state)[row] == expected, (id_, model.hypotheses.causes_of(row))


def test_the_unlisted_cause_shows_nothing_or_anything(tiny: Library) -> None:
    model = compile_model(tiny, tiny.machines[MachineId("moped")], [EventId("will-not-start")])
    state = EngineState(model.hypotheses.houses)
    chances = model.likelihood(CheckId("spark-at-plug"), (0.0, 1.0), state)
    assert chances[-UNLISTED] == pytest.approx(0.05)
    assert chances[-1] == pytest.approx(0.5)


def test_a_cured_cause_no_longer_shows(tiny: Library) -> None:
    model = compile_model(tiny, tiny.machines[MachineId("moped")], [EventId("will-not-start")])
    houses = model.hypotheses.houses
    plug = next(
        row for row in range(model.hypotheses.count) if model.hypotheses.causes_of(row) == ("plug-fouled",)
    )
    none = (0.0, 1.0)
    before = model.likelihood(CheckId("spark-at-plug"), none, EngineState(houses))
    lefts = {
        model.hypotheses.row_left(row, frozenset({EventId("plug-fouled")}))
        for row in range(model.hypotheses.count)
        if set(model.hypotheses.causes_of(row)) == {"plug-fouled", "rings-worn"}
    } - {ENDED}
    assert before[plug] == pytest.approx(0.9)
    assert lefts
    assert before[list(lefts)] == pytest.approx(0.05)


def test_limits_are_those_of_the_machine(tiny: Library) -> None:
    model = compile_model(tiny, tiny.machines[MachineId("moped")], [EventId("will-not-start")])
    assert model.edges[CheckId("compression")] == pytest.approx((0.8 * 8,))
