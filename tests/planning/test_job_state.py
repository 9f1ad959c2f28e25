"""What the next step costs from where the work stands."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kickover.core.ids import CheckId, EventId, ItemId, SetupId
from kickover.model.library import Is, Library, Needs
from kickover.planning.job_state import Job, StepCost, done, missing, proof_needs, step_cost

HOT, COLD = EventId("engine-hot"), EventId("engine-cold")
PLUG_OUT, VAPOUR = SetupId("plug-out"), SetupId("fuel-vapour")
COLD_JOB = Job(frozenset({COLD}))


def taken(library: Library, job: Job, needs: Needs) -> StepCost:
    found = step_cost(library, job, needs)
    assert found is not None
    return found


def spark(library: Library) -> Needs:
    return library.checks[CheckId("spark-at-plug")].needs


def test_the_plug_comes_out_once(tiny: Library) -> None:
    first = taken(tiny, COLD_JOB, spark(tiny))
    assert first.minutes == pytest.approx(3 + 3)
    second = taken(tiny, first.after, tiny.checks[CheckId("compression")].needs)
    assert second.preparations == ()
    assert second.minutes == pytest.approx(5)


def test_a_step_blocked_by_fuel_vapour_is_aired_first(tiny: Library) -> None:
    job = replace(COLD_JOB, in_place=frozenset({PLUG_OUT, VAPOUR}))
    step = taken(tiny, job, spark(tiny))
    assert [preparation.setup for preparation in step.preparations] == [VAPOUR]
    assert step.minutes == pytest.approx(5 + 3)
    assert VAPOUR not in step.after.in_place


def test_airing_comes_last_when_the_preparation_itself_spills_fuel(shipped: Library) -> None:
    needs = Needs(minutes=1, setups=(SetupId("fuel-line-off"),), not_during=(VAPOUR,))
    step = taken(shipped, COLD_JOB, needs)
    assert [preparation.setup for preparation in step.preparations][-1] == VAPOUR


def test_without_the_tool_a_step_is_not_offered(tiny: Library) -> None:
    bare = replace(COLD_JOB, kit=frozenset())
    assert step_cost(tiny, bare, spark(tiny)) is None
    assert missing(bare, tiny.checks[CheckId("compression")].needs) == ("gauge",)
    assert step_cost(tiny, replace(bare, kit=frozenset({ItemId("socket")})), spark(tiny)) is not None


def test_a_setup_that_cannot_be_made_bars_the_steps_that_need_it(tiny: Library) -> None:
    assert step_cost(tiny, replace(COLD_JOB, barred=frozenset({PLUG_OUT})), spark(tiny)) is None


def test_a_state_that_waiting_brings_about_costs_the_wait(tiny: Library) -> None:
    needs = Needs(minutes=2, only_when=Is("engine-cold"))
    step = taken(tiny, Job(frozenset({HOT})), needs)
    assert step.preparations[0].wait_for == COLD
    assert step.minutes == pytest.approx(22)
    assert step.after.houses == {COLD}


def test_a_state_that_waiting_cannot_bring_about_rules_a_step_out(tiny: Library) -> None:
    assert step_cost(tiny, COLD_JOB, Needs(minutes=2, only_when=Is("engine-hot"))) is None


def test_the_proof_puts_back_what_stops_the_engine_and_airs_it(shipped: Library) -> None:
    complaint = shipped.complaints[EventId("will-not-start")]
    job = replace(COLD_JOB, in_place=frozenset({SetupId("plug-cap-off"), PLUG_OUT, VAPOUR}))
    proof = taken(shipped, job, proof_needs(shipped, job, complaint))
    assert [preparation.setup for preparation in proof.preparations] == [PLUG_OUT, "plug-cap-off", VAPOUR]
    assert proof.after.in_place == frozenset()


def test_a_road_test_comes_after_brakes_and_fasteners(shipped: Library) -> None:
    complaint = shipped.complaints[EventId("no-power")]
    proof = taken(shipped, COLD_JOB, proof_needs(shipped, COLD_JOB, complaint))
    assert [preparation.setup for preparation in proof.preparations] == ["brakes-looked-over"]


def test_moving_to_another_spot_costs_a_little(shipped: Library) -> None:
    there = replace(COLD_JOB, spot="tank")
    same = taken(shipped, there, Needs(minutes=2, spot="tank"))
    other = taken(shipped, there, Needs(minutes=2, spot="wheel"))
    assert other.minutes - same.minutes == pytest.approx(shipped.settings.spot_minutes)


def test_what_a_step_leaves_and_clears_is_kept(tiny: Library) -> None:
    job = done(COLD_JOB, Needs(minutes=1, leaves=(VAPOUR,), spot="tank"))
    assert job.in_place == {VAPOUR}
    assert job.spot == "tank"
    assert done(job, Needs(minutes=1, clears=(VAPOUR,))).in_place == frozenset()
