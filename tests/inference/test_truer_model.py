"""Causes that bring others, undeveloped events and slips, on a tiny tree worked out by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from kickover.core.ids import CheckId, EventId, MachineId
from kickover.core.problem import SourcePlace
from kickover.inference.belief import Evidence, prior_belief
from kickover.inference.compiled_model import EngineState, Model, compile_model
from kickover.model.library import CheckKind, Library, SecondaryFaults, Settings

PLUG, SWITCH, RINGS = (EventId(one) for one in ("plug-fouled", "switch-shorted", "rings-worn"))
SPARK = CheckId("spark-at-plug")


def model_of(library: Library, **settings: object) -> Model:
    changed = replace(library, settings=replace(library.settings, **settings))  # type: ignore[arg-type]
    return compile_model(changed, changed.machines[MachineId("moped")], [EventId("will-not-start")])


def bringing(library: Library, cause: EventId, other: EventId, chance: float) -> Library:
    brings = SecondaryFaults(cause, {other: chance}, (), SourcePlace("a test", 1))
    return replace(library, brings={cause: brings})


def weight_of(model: Model, *causes: str) -> float:
    hypotheses = model.hypotheses
    rows = [row for row in range(hypotheses.count) if set(hypotheses.causes_of(row)) == set(causes)]
    return float(hypotheses.prior[rows].sum())


def test_a_pair_of_which_one_brings_the_other_has_its_true_weight(tiny: Library) -> None:
    """Beside the bringer alone, the pair weighs x + q to 1 - q, x being the scaled odds of the other."""
    model = model_of(bringing(tiny, PLUG, SWITCH, 0.2))
    x = 2.0 * model.hypotheses.scale
    ratio = weight_of(model, PLUG, SWITCH) / weight_of(model, PLUG)
    assert ratio == pytest.approx((x + 0.2) / 0.8)


def test_the_root_is_named_and_what_it_brought_stands_beside_it(tiny: Library) -> None:
    library = bringing(tiny, SWITCH, PLUG, 0.5)
    without, told = model_of(tiny), model_of(library)
    assert told.hypotheses.scale == without.hypotheses.scale
    state = EngineState(told.hypotheses.houses)
    shorted = Evidence(CheckId("switch-off-lead"), (1.0, 0.0), state)
    first, second = prior_belief(told).after(shorted).ranking()[:2]
    assert (first.cause, second.cause) == (SWITCH, PLUG)
    assert second.probability > 2 * prior_belief(without).after(shorted).marginals()[PLUG]


def test_without_chance_meetings_only_what_is_brought_comes_together(tiny: Library) -> None:
    model = model_of(bringing(tiny, PLUG, SWITCH, 0.2), two_cause_share=0.0)
    assert weight_of(model, PLUG, RINGS) == pytest.approx(0.0, abs=1e-12)
    assert weight_of(model, PLUG, SWITCH) / weight_of(model, PLUG) == pytest.approx(0.25)


def test_an_undeveloped_event_has_a_share_of_its_gate_and_rises_as_the_listed_are_ruled_out(
    tiny: Library,
) -> None:
    model = model_of(tiny, undeveloped_share=0.1)
    other = EventId("something-else-at-no-spark")
    assert weight_of(model, other) / weight_of(model, PLUG) == pytest.approx(0.1 * (3.0 + 2.0) / 3.0)
    state = EngineState(model.hypotheses.houses)
    start = prior_belief(model)
    dark = start.after(Evidence(SPARK, (0.0, 1.0), state))
    ruled_out = dark.after(Evidence(CheckId("switch-off-lead"), (0.0, 1.0), state))
    ruled_out = ruled_out.after_repair(next(id_ for id_, one in tiny.repairs.items() if PLUG in one.cures))
    shares = [one.marginals()[other] for one in (start, dark, ruled_out)]
    assert shares == sorted(shares)
    assert ruled_out.ranking()[0].cause == other
    assert not ruled_out.fits


def test_what_is_unlisted_is_the_undeveloped_events_and_the_rest(tiny: Library) -> None:
    belief = prior_belief(model_of(tiny, undeveloped_share=0.1))
    others = [one for one in belief.ranking() if one.cause.startswith("something-else")]
    rest = float(belief.posterior[-2:].sum())
    assert belief.unlisted == pytest.approx(rest + sum(one.probability for one in others))
    listed = sum(chance for _, chance in belief.sets())
    assert listed + belief.unlisted == pytest.approx(1.0)


def test_a_gate_may_take_its_own_share_or_none(tiny: Library) -> None:
    gate = tiny.gates[EventId("no-spark")]
    off = replace(tiny, gates={**tiny.gates, gate.id: replace(gate, undeveloped=0.0)})
    assert not model_of(off, undeveloped_share=0.1).hypotheses.undeveloped.any()
    on = replace(tiny, gates={**tiny.gates, gate.id: replace(gate, undeveloped=0.2)})
    assert model_of(on).hypotheses.undeveloped.sum() == 1


def test_a_slip_takes_each_other_finding_for_the_one_that_is_shown(tiny: Library) -> None:
    plain, slipping = model_of(tiny), model_of(tiny, slips={CheckKind.TRY: 0.1})
    expected = 0.9 * plain.chances[SPARK][:, :-1] + 0.1 * (1.0 - plain.chances[SPARK][:, :-1])
    np.testing.assert_allclose(slipping.chances[SPARK][:, :-1], expected)
    assert slipping.chances[SPARK].sum(axis=0) == pytest.approx(1.0)
    look = CheckId("switch-off-lead")
    np.testing.assert_array_equal(slipping.chances[look], plain.chances[look])


def test_a_library_that_says_nothing_of_them_has_none() -> None:
    assert (Settings().undeveloped_share, dict(Settings().slips), dict(Settings().works)) == (0.0, {}, {})
