"""Answers that sit badly with the others, and the check that settles them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from kickover.core.ids import CheckId, EventId, MachineId, RepairId
from kickover.inference.belief import Attempt, Evidence, believe
from kickover.inference.compiled_model import EngineState, Model, compile_model
from kickover.inference.surprise import fits, settling_check
from kickover.model.library import Library

SPARK, SWITCH, GAUGE = CheckId("spark-at-plug"), CheckId("switch-off-lead"), CheckId("compression")


@pytest.fixture(scope="module")
def model(tiny: Library) -> Model:
    return compile_model(tiny, tiny.machines[MachineId("moped")], [EventId("will-not-start")])


def told(model: Model, check: CheckId, place: int, made: Sequence[RepairId] = ()) -> Evidence:
    count = len(model.checks[check].findings)
    weights = tuple(float(place == other) for other in range(count))
    return Evidence(check, weights, EngineState(model.hypotheses.houses, frozenset(made)))


def test_each_answer_has_the_chance_that_all_the_others_give_it(model: Model) -> None:
    plug = RepairId("new-plug")
    evidence = [told(model, SPARK, 1), told(model, SWITCH, 0), told(model, SPARK, 0, [plug])]
    attempts = [Attempt(plug)]
    for number, (one, chance) in enumerate(fits(model, evidence, attempts)):
        others = [*evidence[:number], *evidence[number + 1 :]]
        whole = probability(model, evidence, attempts)
        assert one == evidence[number]
        assert chance == pytest.approx(whole / probability(model, others, attempts))


def probability(model: Model, evidence: Sequence[Evidence], attempts: Sequence[Attempt]) -> float:
    """The probability of all that was told and done, step by step."""
    before = [one for one in evidence if not one.state.made]
    belief, result = believe(model, [], ()), 1.0
    for one in before:
        belief = belief.after(one)
        result *= belief.evidence_probability
    for attempt in attempts:
        belief = belief.after_repair(attempt.repair, attempt.change)
        result *= belief.evidence_probability
    for one in evidence:
        if one.state.made:
            belief = belief.after(one)
            result *= belief.evidence_probability
    return result


def test_the_check_that_settles_an_answer_tells_most_a_minute(model: Model) -> None:
    odd = told(model, SPARK, 0)
    now = EngineState(model.hypotheses.houses)
    assert settling_check(model, odd, [], [], {SWITCH: 2.0, GAUGE: 200.0}, now) == SWITCH
    assert settling_check(model, odd, [], [], {SWITCH: 200.0, GAUGE: 2.0}, now) == GAUGE
    assert settling_check(model, odd, [], [], {}, now) is None


def test_what_tells_nothing_about_an_answer_does_not_settle_it(model: Model) -> None:
    nothing = Evidence(SPARK, tuple(np.ones(2)), EngineState(model.hypotheses.houses))
    now = EngineState(model.hypotheses.houses)
    assert settling_check(model, nothing, [], [], {GAUGE: 5.0, SWITCH: 2.0}, now) is None
