"""No step with a hazard is ever shown without its caution: every screen of every step, and whole walks."""

from __future__ import annotations

import random
from collections.abc import Container

import pytest

from kickover.core.ids import EventId, HazardId, MachineId, SetupId
from kickover.model.library import Library, Needs
from kickover.planning.job_state import Preparation, proof_needs
from kickover.session.entries import Answered, Cannot, Prepared, Repaired
from kickover.session.outcome import LOCAL_RULES
from kickover.session.session import Phase, Session, Task, begin, needs_of
from kickover.session.wording import lower_first
from kickover.ui.asking import LOOKED_OVER, step_screen
from kickover.ui.dialogue import Dialogue
from kickover.ui.input_handling import handle_input
from kickover.ui.layout import laid_out
from kickover.ui.pages import caution_page
from kickover.ui.screen import cautions_of
from session.rider import Rider, single_causes
from slow_part import mostly_slow

WIDTHS = (40, 80)


def assert_cautioned(
    session: Session, task: Task, needs: Needs, told: Container[HazardId] = frozenset()
) -> int:
    """Every hazard of the step is on the screen before the choices: in full when new, else by its name.

    What was told before is in full on the page of `caution`.
    """
    screen = step_screen(session, task)
    assert caution_page(session, task).cautions == cautions_of(session, task)
    for hazard in needs.hazards:
        caution = session.library.hazards[hazard].caution
        if hazard in told:
            assert lower_first(session.library.hazards[hazard].title) in screen.reminder
            continue
        assert caution in screen.cautions, f"{task.id} hides {hazard}"
        for width in WIDTHS:
            lines = laid_out(screen, width)
            roles = [line.role for line in lines]
            shown = " ".join(line.text.strip("! ").strip() for line in lines if line.role == "caution")
            assert caution in shown
            if "choice" in roles:
                assert roles.index("caution") < roles.index("choice")
    return len(needs.hazards)


@pytest.mark.parametrize("machine", ["clip-on-two-stroke", "four-stroke-49", "points-moped"])
def test_every_step_of_a_machine_shows_its_cautions(shipped: Library, machine: str) -> None:
    session = begin(shipped, shipped.machines[MachineId(machine)], [EventId("leaks-fuel")])
    cautions = 0
    for id_, check in session.model.checks.items():
        cautions += assert_cautioned(session, Task(Phase.CHECK, id_, 1.0), check.needs)
    for name, repair in session.model.repairs.items():
        cautions += assert_cautioned(session, Task(Phase.REPAIR, name, 1.0), repair.needs)
    for setup, known in shipped.setups.items():
        for undo in (False, True):
            preparation = Preparation(setup, undo, None, 1.0)
            cautions += assert_cautioned(session, Task(Phase.PREPARE, setup, 1.0, preparation), known.needs)
    assert cautions > 300


def test_every_proof_shows_its_cautions_and_that_local_law_comes_first(shipped: Library) -> None:
    for complaint in shipped.complaints:
        for machine in shipped.machines.values():
            if machine.fits(shipped.complaints[complaint].gate.only_if):
                session = begin(shipped, machine, [complaint])
                task = Task(Phase.PROOF, complaint, 1.0)
                assert_cautioned(session, task, proof_needs(shipped, session.job, session.complaint))
                assert LOCAL_RULES in step_screen(session, task).cautions
                break


def assert_sound_walk(session: Session, cause: EventId) -> Phase:
    """Walk with a hidden fault; at each step look at the cautions, the dangers and the order of a ride."""
    rider = Rider(session.model, frozenset({cause}))
    dialogue = Dialogue(session)
    looked_over = False
    told: set[HazardId] = set()
    about: frozenset[SetupId] = frozenset()
    for _ in range(150):
        session, task = dialogue.session, dialogue.task()
        if task.phase in {Phase.MENDED, Phase.GIVEN_UP}:
            return task.phase
        needs = needs_of(session, task)
        for danger in {one for one in session.job.in_place - about if session.library.setups[one].danger}:
            told -= set(session.library.setups[danger].needs.hazards)
        about = session.job.in_place
        assert_cautioned(session, task, needs, told)
        told |= set(needs.hazards)
        blocked = set(needs.not_during) & session.job.in_place
        assert not blocked or task.phase is Phase.PREPARE, f"{task.id} is asked during {blocked}"
        if task.phase is Phase.PREPARE and task.id == "brakes-looked-over":
            looked_over = True
            assert dialogue.screen().choices == LOOKED_OVER
        if task.phase is Phase.PROOF and "road" in needs.hazards:
            assert looked_over, "a ride before brakes and fasteners were looked at"
        dialogue = handle_input(dialogue, rider.says(session, task))
    pytest.fail(f"a walk with {cause} does not end")


WALKS = [
    ("clip-on-two-stroke", "will-not-start"),
    ("points-moped", "vibrates"),
    ("four-stroke-49", "no-power"),
    ("electric-step-through", "smokes"),
    ("roller-two-stroke", "dies-when-hot"),
]


@pytest.mark.parametrize(("machine", "complaint"), mostly_slow(WALKS, 2))
def test_walks_with_hidden_faults_are_safe_at_every_step(
    shipped: Library, machine: str, complaint: str
) -> None:
    session = begin(shipped, shipped.machines[MachineId(machine)], [EventId(complaint)])
    single = set(single_causes(session.model))
    likely = [ranked.cause for ranked in session.belief.ranking() if ranked.cause in single][:12]
    causes = random.Random(machine).sample(likely, 2)
    ends = [assert_sound_walk(session, cause) for cause in causes]
    assert Phase.MENDED in ends


def test_a_spark_check_waits_until_fuel_vapour_has_gone(yard: Library) -> None:
    session = begin(yard, yard.machines[MachineId("moped")], [EventId("will-not-start")])
    session = session.record(Answered("fuel-at-hose", "yes"))
    assert "fuel-vapour" in session.job.in_place
    for _ in range(20):
        task = session.task()
        if task.phase is Phase.CHECK and task.id in {"spark-at-plug", "lead-off"}:
            pytest.fail("a spark check while fuel vapour is about")
        if task.phase is Phase.PREPARE and task.id == "fuel-vapour":
            session = session.record(Prepared("fuel-vapour", undone=True))
            break
        session = session.record(Cannot(task.id))
    assert "fuel-vapour" not in session.job.in_place


def test_a_proof_on_the_road_is_warned_against_while_a_stop_stands(yard: Library) -> None:
    session = begin(yard, yard.machines[MachineId("moped")], [EventId("no-power")])
    session = session.record(Answered("chain-look", "loose")).record(Repaired("new-gasket"))
    session = session.record(Prepared("brakes-looked-over", undone=False))
    screen = Dialogue(session).screen()
    assert screen.stops == ("Do not ride: the chain can lock the wheel.",)
    assert any("Do not ride it for the proof" in words for words in screen.body)
