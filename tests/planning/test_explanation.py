"""Why: prospects of a check, and weight of evidence."""

from __future__ import annotations

from math import log10

import pytest

from kickover.core.ids import CheckId, EventId, MachineId
from kickover.inference.belief import Evidence, prior_belief
from kickover.inference.compiled_model import EngineState, Model, compile_model
from kickover.model.library import Library
from kickover.planning.explanation import decibans, prospects, weights_for

LEAD = CheckId("switch-off-lead")
SWITCH = EventId("switch-shorted")


@pytest.fixture(scope="module")
def model(tiny: Library) -> Model:
    return compile_model(tiny, tiny.machines[MachineId("moped")], [EventId("will-not-start")])


def test_the_prospects_of_a_check_average_to_the_present(model: Model) -> None:
    belief = prior_belief(model)
    found = prospects(belief, LEAD, EngineState(model.hypotheses.houses), leading=10)
    assert sum(one.probability for one in found) == pytest.approx(1.0)
    average = sum(
        one.probability * next(ranked.probability for ranked in one.leading if ranked.cause == SWITCH)
        for one in found
    )
    assert average == pytest.approx(belief.marginals()[SWITCH])


def test_the_weight_of_an_answer_is_the_log_of_its_likelihood_ratio(model: Model) -> None:
    """A yes has 0.95 with the fault, 0.02 without, 0.5 for an unlisted cause that may show anything."""
    belief = prior_belief(model)
    evidence = Evidence(LEAD, (1.0, 0.0), EngineState(model.hypotheses.houses))
    without = 1.0 - belief.marginals()[SWITCH]
    loud = float(belief.posterior[-1]) / without
    expected = 10 * log10(0.95 / ((1 - loud) * 0.02 + loud * 0.5))
    assert decibans(belief, evidence, SWITCH) == pytest.approx(expected)


def test_odds_move_by_the_sum_of_the_weights(model: Model) -> None:
    start = prior_belief(model)
    state = EngineState(model.hypotheses.houses)
    evidence = [Evidence(LEAD, (1.0, 0.0), state), Evidence(CheckId("spark-at-plug"), (0.2, 0.8), state)]
    belief = start
    for one in evidence:
        belief = belief.after(one)

    def odds(probability: float) -> float:
        return 10 * log10(probability / (1 - probability))

    moved = odds(belief.marginals()[SWITCH]) - odds(start.marginals()[SWITCH])
    assert sum(one.decibans for one in weights_for(start, evidence, SWITCH)) == pytest.approx(moved)


def test_a_cause_outside_the_model_has_no_weight(model: Model) -> None:
    evidence = Evidence(LEAD, (1.0, 0.0), EngineState(model.hypotheses.houses))
    assert decibans(prior_belief(model), evidence, EventId("no-such-cause")) == 0.0
