"""Proofs that wait for another repair: only where that saves minutes on average."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kickover.core.ids import EventId, MachineId, RepairId
from kickover.inference.belief import prior_belief
from kickover.model.library import Library
from kickover.planning.job_state import Job, proof_needs, step_cost
from kickover.planning.plan import StepKind, plan
from kickover.planning.put_off import minutes_saved, pays_before_proof
from kickover.session.entries import Proved, PutOff, Repaired
from kickover.session.session import Phase, Session, begin
from kickover.ui.dialogue import Dialogue
from kickover.ui.input_handling import handle_input

PLUG = RepairId("new-plug")


def with_proof(tiny: Library, minutes: float) -> Library:
    """The tiny library with unsure repairs and a proof of so many minutes."""
    repairs = {id_: replace(one, cures=dict.fromkeys(one.cures, 0.6)) for id_, one in tiny.repairs.items()}
    complaint = tiny.complaints[EventId("will-not-start")]
    proof = replace(complaint.proof, minutes=minutes)
    return replace(
        tiny, repairs=repairs, complaints={**tiny.complaints, complaint.id: replace(complaint, proof=proof)}
    )


def after_plug(library: Library) -> Session:
    """A new plug that is not proven yet, and nothing left but repairs."""
    machine = library.machines[MachineId("moped")]
    session = begin(library, machine, [EventId("will-not-start")], give_up=1000.0)
    job = replace(session.job, barred=frozenset(library.checks))
    return replace(session, job=job).record(Repaired(PLUG))


@pytest.mark.parametrize("minutes", [1.0, 5.0, 30.0])
def test_what_waiting_saves_is_the_difference_of_both_ways_worked_out_outcome_by_outcome(
    tiny: Library, minutes: float
) -> None:
    """The plug first, then the switch: with a proof after each, or with one for both."""
    library = with_proof(tiny, minutes)
    session = after_plug(library)
    belief, job = session.belief, session.job
    cured = belief.cured_by(PLUG)
    step = next(one for one in plan(belief, job, 1000.0).steps if one.kind is StepKind.REPAIR)
    needs = proof_needs(library, job, session.complaint)
    proof = step_cost(library, job, needs)
    assert proof is not None
    apart = cured * proof.minutes + (1.0 - cured) * (2.0 * proof.minutes + step.step_cost.minutes)
    together = step.step_cost.minutes + proof.minutes
    assert minutes_saved(belief, job, [PLUG], step) == pytest.approx(apart - together)


def test_a_short_proof_never_waits_and_a_long_one_does(tiny: Library) -> None:
    waits = [after_plug(with_proof(tiny, minutes)).worth_before_proof() for minutes in (0.1, 60.0)]
    assert waits[0] is None
    assert waits[1] is not None
    assert waits[1].kind is StepKind.REPAIR


def test_a_test_is_proven_by_itself(tiny: Library) -> None:
    library = with_proof(tiny, 60.0)
    repairs = {**library.repairs, PLUG: replace(library.repairs[PLUG], test=True)}
    assert after_plug(replace(library, repairs=repairs)).worth_before_proof() is None


def test_no_more_than_three_repairs_wait(tiny: Library) -> None:
    library = with_proof(tiny, 60.0)
    session = after_plug(library)
    supposed = plan(session.belief.after_all([PLUG]), session.job, 1000.0)
    three = [PLUG, RepairId("new-switch"), RepairId("new-rings")]
    assert pays_before_proof(session.belief, session.job, three, supposed) is None


def test_the_screen_offers_to_wait_and_what_is_told_of_the_proof_is_recorded(tiny: Library) -> None:
    dialogue = Dialogue(after_plug(with_proof(tiny, 60.0)))
    assert [choice.key for choice in dialogue.screen().choices] == ["1", "2", "3", "4", "5"]
    waiting = handle_input(dialogue, "later").session
    assert waiting.entries[-1] == PutOff()
    assert waiting.task().phase in {Phase.REPAIR, Phase.PREPARE}
    better = handle_input(dialogue, "3").session.entries[-1]
    assert isinstance(better, Proved)
    assert better.change == "better"
    assert handle_input(dialogue, "7").message.startswith("Type the number of an outcome")


def test_where_waiting_does_not_pay_it_is_not_offered(tiny: Library) -> None:
    dialogue = Dialogue(after_plug(with_proof(tiny, 0.1)))
    assert [choice.key for choice in dialogue.screen().choices] == ["1", "2", "3", "4"]


def test_the_minutes_said_lie_between_the_bounds(tiny: Library) -> None:
    library = with_proof(tiny, 10.0)
    session = after_plug(library)
    planned = plan(prior_belief(session.model), Job(session.model.hypotheses.houses), 180.0)
    assert planned.least <= planned.usual <= planned.next.expected
