"""No step runs, rides or looks for a spark in a state that forbids it; all comes back before the proof.

Common practice, no source.
"""

from __future__ import annotations

import pytest

from kickover.core.ids import CheckId, HazardId, MachineId, RepairId, SetupId
from kickover.model.conditions import holds
from kickover.model.job_rules import RIDES, RUNS, SPARKS, forbidden
from kickover.model.library import Check, Library, Repair
from kickover.session.outcome import what_is_off
from kickover.session.session import Phase, Session, Task, needs_of
from session.chance_rider import engine, honest_walk, started
from slow_part import mostly_slow

COURSES = [
    ("clip-on-two-stroke", "will-not-start"),
    ("clip-on-two-stroke", "no-spark-seen"),
    ("four-stroke-49", "no-power"),
    ("points-moped", "starts-then-dies"),
    ("electric-step-through", "smokes"),
    ("roller-two-stroke", "bogs"),
]
MEANT = {RUNS, RIDES, SPARKS}


def test_every_step_lists_all_that_it_must_not_find(shipped: Library) -> None:
    ruled = 0
    steps: list[Check | Repair] = [*shipped.checks.values(), *shipped.repairs.values()]
    for step in steps:
        out = forbidden(step, shipped.setups)
        assert set(out) <= set(step.needs.undone), step.id
        assert not set(out) & set(step.needs.setups), step.id
        ruled += bool(out and set(step.needs.hazards) & MEANT)
    assert ruled > 60


def test_what_comes_off_says_how_it_goes_on_again(shipped: Library) -> None:
    for setup in shipped.setups.values():
        if setup.comes_back:
            assert setup.undo, setup.id
            assert setup.undo_minutes > 0.0, setup.id


def test_the_stop_wire_is_parted_by_a_setup_and_never_by_a_check(shipped: Library) -> None:
    check = shipped.checks[CheckId("spark-with-switch-end-off")]
    assert SetupId("switch-lead-off") in check.needs.setups
    assert shipped.setups[SetupId("switch-lead-off")].stops_running


def assert_fit_to_be_asked(session: Session, task: Task) -> None:
    library, in_place = session.library, session.job.in_place
    needs = needs_of(session, task)
    if task.phase is Phase.CHECK:
        out = forbidden(library.checks[CheckId(task.id)], library.setups)
        assert not in_place & set(out), f"{task.id} is asked with {in_place & set(out)}"
        assert holds(needs.only_when, session.job.houses.__contains__), f"{task.id} in another state"
        assert set(needs.setups) <= in_place
    if task.phase is Phase.REPAIR:
        assert not in_place & set(forbidden(library.repairs[RepairId(task.id)], library.setups))
    if task.phase is Phase.PROOF:
        assert what_is_off(session) == (), f"a proof with {what_is_off(session)}"


@pytest.mark.parametrize(("machine", "complaint"), mostly_slow(COURSES, 2))
def test_walks_are_fit_at_every_step(shipped: Library, machine: str, complaint: str) -> None:
    begun = started(shipped, MachineId(machine), complaint)
    proofs = 0
    for number in range(3):
        session = begun
        for task, after in honest_walk(begun, engine(begun, 5, number)):
            assert_fit_to_be_asked(session, task)
            proofs += task.phase is Phase.PROOF
            session = after
    assert proofs


@pytest.mark.parametrize(
    ("hazard", "words"),
    [
        (
            "fuel-vapour-fire",
            ("outdoors", "engine cool", "tap shut", "no flame", "3 m", "5 minutes", "extinguisher"),
        ),
        ("high-voltage", ("pacemaker", "never hold")),
        ("stored-charge", ("wait a minute", "rings off")),
        ("hot-parts", ("half an hour", "cool")),
        ("moving-parts", ("sleeves", "hair", "no gloves")),
        ("unexpected-start", ("stop switch at off", "plug lead off")),
        ("pressure", ("eye protection", "2 bar", "never toward skin")),
        ("chemicals", ("gloves", "never by mouth", "hot parts", "aluminium")),
        ("dust", ("asbestos", "wet", "mask")),
        ("exhaust-gas", ("without a smell", "outdoors only", "headache")),
        ("runaway", ("stop switch", "choke", "fuel")),
        ("support", ("tip", "chocked")),
        ("flywheel", ("puller", "never hammer")),
        ("road", ("both brakes", "throttle snaps shut", "helmet", "local law")),
        ("structure", ("do not ride", "qualified")),
    ],
)
def test_a_caution_keeps_what_is_vital(shipped: Library, hazard: str, words: tuple[str, ...]) -> None:
    """Common practice; the published limits have their sources beside them in the library."""
    said = " ".join(shipped.hazards[HazardId(hazard)].caution.lower().split())

    assert [word for word in words if word not in said] == []
