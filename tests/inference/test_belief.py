"""Belief: what answers do to it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kickover.core.ids import CheckId, EventId, FindingId, MachineId, RepairId
from kickover.inference.belief import Attempt, Belief, Evidence, believe, prior_belief
from kickover.inference.compiled_model import EngineState, Model, compile_model
from kickover.inference.hypotheses import UNLISTED
from kickover.inference.soft_evidence import Sureness, choice_weights
from kickover.model.library import Library

MOPED = MachineId("moped")
SPARK, LEAD, COMPRESSION = CheckId("spark-at-plug"), CheckId("switch-off-lead"), CheckId("compression")


@pytest.fixture(scope="module")
def model(tiny: Library) -> Model:
    return compile_model(tiny, tiny.machines[MOPED], [EventId("will-not-start")])


@pytest.fixture(scope="module")
def large(shipped: Library) -> Model:
    machine = shipped.machines[MachineId("clip-on-two-stroke")]
    return compile_model(shipped, machine, [EventId("will-not-start")])


def seen(model: Model, check: CheckId, finding: str, houses: frozenset[EventId] | None = None) -> Evidence:
    weights = tuple(float(one.id == finding) for one in model.checks[check].findings)
    return Evidence(check, weights, EngineState(model.hypotheses.houses if houses is None else houses))


def rows_of(model: Model, *causes: str) -> list[int]:
    return [row for row in range(model.hypotheses.count) if model.hypotheses.causes_of(row) == causes]


def test_an_answer_does_what_bayes_says(model: Model) -> None:
    """By hand: P(no spark seen) is 0.9 with an ignition cause and 0.05 with worn rings alone."""
    before = prior_belief(model)
    after = before.after(seen(model, SPARK, "none"))
    odds_before = before.marginals()[EventId("plug-fouled")] / before.marginals()[EventId("switch-shorted")]
    odds_after = after.marginals()[EventId("plug-fouled")] / after.marginals()[EventId("switch-shorted")]
    assert odds_after == pytest.approx(odds_before, rel=1e-3)
    rings_only, plug_only = rows_of(model, "rings-worn"), rows_of(model, "plug-fouled")
    ratio = (after.posterior[rings_only].sum() / after.posterior[plug_only].sum()) / (
        before.posterior[rings_only].sum() / before.posterior[plug_only].sum()
    )
    assert ratio == pytest.approx(0.05 / 0.9)


def test_an_answer_made_in_another_state_counts_for_that_state(model: Model) -> None:
    """Low compression shows only cold here, so a good reading taken hot says nothing about the rings."""
    cold = prior_belief(model).after(seen(model, COMPRESSION, "good"))
    hot = prior_belief(model).after(seen(model, COMPRESSION, "good", frozenset({EventId("engine-hot")})))
    rings = EventId("rings-worn")
    assert cold.marginals()[rings] < 0.3 * prior_belief(model).marginals()[rings]
    assert hot.marginals()[rings] == pytest.approx(prior_belief(model).marginals()[rings], abs=0.01)


answers = st.lists(
    st.tuples(st.integers(0, 10**6), st.lists(st.floats(0.0, 1.0), min_size=12, max_size=12)),
    min_size=1,
    max_size=5,
    unique_by=lambda pair: pair[0],
)


def as_evidence(model: Model, drawn: list[tuple[int, list[float]]]) -> list[Evidence]:
    checks = sorted(model.checks)
    state = EngineState(model.hypotheses.houses)
    chosen = {checks[number % len(checks)]: weights for number, weights in drawn}
    return [
        Evidence(check, tuple(weights[: len(model.checks[check].findings)]), state)
        for check, weights in chosen.items()
    ]


@settings(max_examples=40, deadline=None)
@given(drawn=answers, data=st.data())
def test_the_order_of_answers_does_not_matter(
    large: Model, drawn: list[tuple[int, list[float]]], data: st.DataObject
) -> None:
    evidence = as_evidence(large, drawn)
    shuffled = data.draw(st.permutations(evidence))
    np.testing.assert_allclose(
        believe(large, shuffled).posterior, believe(large, evidence).posterior, atol=1e-12
    )


@settings(max_examples=40, deadline=None)
@given(drawn=answers)
def test_probabilities_sum_to_one_and_none_is_negative(
    large: Model, drawn: list[tuple[int, list[float]]]
) -> None:
    belief = believe(large, as_evidence(large, drawn))
    assert belief.posterior.sum() == pytest.approx(1.0)
    assert (belief.posterior >= 0.0).all()


def test_an_impossible_answer_goes_to_the_unlisted_cause(model: Model) -> None:
    nothing = Evidence(SPARK, (0.0, 0.0), EngineState(model.hypotheses.houses))
    after = prior_belief(model).after(nothing)
    assert after.unlisted == 1.0
    assert not after.fits
    assert after.after(seen(model, LEAD, "yes")).posterior.sum() == pytest.approx(1.0)


def test_where_everything_listed_is_sound_none_of_the_causes_fits(large: Model) -> None:
    belief = prior_belief(large)
    for check in sorted(large.checks):
        healthy = large.line_positions(check, EngineState(large.hypotheses.houses))[-UNLISTED]
        finding = int(np.argmax(large.chances[check][:, healthy]))
        belief = belief.after(seen(large, check, large.checks[check].findings[finding].id))
    assert not belief.fits


def test_undo_is_keeping_the_old_belief(model: Model) -> None:
    before = prior_belief(model)
    kept = before.posterior.copy()
    before.after(seen(model, SPARK, "none")).after_repair(RepairId("new-plug"))
    np.testing.assert_array_equal(before.posterior, kept)


def test_a_failed_repair_that_always_works_clears_what_it_cures(model: Model) -> None:
    after = prior_belief(model).after_repair(RepairId("new-plug"))
    assert after.marginals()[EventId("plug-fouled")] == 0.0
    assert after.made == {"new-plug"}
    assert after.posterior.sum() == pytest.approx(1.0)


def test_repairs_that_cure_everything_leave_the_unlisted_cause(model: Model) -> None:
    belief = prior_belief(model)
    for repair in ("new-plug", "new-switch", "new-rings"):
        belief = belief.after_repair(RepairId(repair))
    assert belief.unlisted == pytest.approx(1.0)
    assert not belief.fits


def test_the_share_that_a_repair_cures_is_what_its_failure_takes_away(model: Model) -> None:
    before = prior_belief(model)
    share = before.cured_by(RepairId("new-switch"))
    singles = float(before.posterior[rows_of(model, "switch-shorted")].sum())
    assert share == pytest.approx(singles, abs=0.01)
    assert 0.0 < share < 1.0


def test_answers_fall_where_they_belong_between_repairs(model: Model) -> None:
    first, second = seen(model, SPARK, "none"), seen(model, SPARK, "strong")
    switch = RepairId("new-switch")
    later = replace(first, state=EngineState(first.state.houses, frozenset({switch})))
    corrected = believe(model, [later, second], [Attempt(switch)])
    stepwise = prior_belief(model).after(second).after_repair(switch).after(later)
    np.testing.assert_allclose(corrected.posterior, stepwise.posterior, atol=1e-12)


def test_an_unsure_answer_moves_less_than_a_sure_one(model: Model) -> None:
    def plug_after(sureness: Sureness) -> float:
        weights = choice_weights(model.checks[SPARK], FindingId("none"), sureness)
        state = EngineState(model.hypotheses.houses)
        return prior_belief(model).after(Evidence(SPARK, weights, state)).marginals()[EventId("plug-fouled")]

    assert plug_after(Sureness.SURE) > plug_after(Sureness.FAIRLY) > plug_after(Sureness.GUESS)


def test_the_ranking_is_likeliest_first_and_ties_go_by_id(large: Model) -> None:
    order = [(-ranked.probability, ranked.cause) for ranked in prior_belief(large).ranking()]
    assert order == sorted(order)


def test_sets_and_the_unlisted_cause_sum_to_one(large: Model) -> None:
    belief: Belief = prior_belief(large)
    assert sum(share for _, share in belief.sets()) + belief.unlisted == pytest.approx(1.0)
