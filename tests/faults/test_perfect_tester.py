"""A tester who makes no mistake is led to every fault of the library, on every machine that can have it.

Twice: by the checks alone (every one that can be made is answered, and the fault comes out on top), and by
the guided walk (led to a repair that cures it). The walks take long: unless KICKOVER_EVERY_CAUSE is set, only
one cause in twenty is walked on each machine, others on each.
"""

from __future__ import annotations

import os
from collections import defaultdict

import pytest

from faults.perfect_tester import Guide, after_every_check, hidden, leaders, model_of, places
from kickover.core.ids import EventId, MachineId
from slow_part import mostly_slow
from worlds.shipped_library import shipped

EVERY_CAUSE = bool(os.environ.get("KICKOVER_EVERY_CAUSE"))
ONE_IN = 20

NOT_TOLD_APART = {
    ("lead-broken", "coil-secondary-open"): (
        "a meter reads through coil and moulded lead at once; a new coil with its lead cures either"
    ),
}
"""Faults that no check parts from a likelier one, that one, and why it does no harm: a repair cures both."""

MACHINES = tuple(shipped().machines)


def share_a_repair(one: EventId, other: EventId) -> bool:
    return any(one in repair.cures and other in repair.cures for repair in shipped().repairs.values())


@pytest.mark.parametrize("machine", mostly_slow(MACHINES, 2))
def test_every_cause_that_a_machine_can_have_stands_behind_a_complaint(machine: MachineId) -> None:
    library = shipped()
    possible = {
        cause.id for cause in library.causes.values() if library.machines[machine].fits(cause.only_if)
    }

    assert possible - set(places(machine)) == set()


@pytest.mark.parametrize("machine", mostly_slow(MACHINES, 2))
def test_the_answers_to_every_check_put_the_fault_on_top(machine: MachineId) -> None:
    missed = {}
    for cause, complaint in places(machine).items():
        model = model_of(machine, complaint)
        first = leaders(after_every_check(model, hidden(model, cause)))
        if cause not in first and (cause, first[0]) not in NOT_TOLD_APART:
            missed[cause] = (complaint, first[0])

    assert missed == {}


@pytest.mark.parametrize("pair", NOT_TOLD_APART, ids=" or ".join)
def test_faults_that_no_check_tells_apart_share_a_repair(pair: tuple[str, str]) -> None:
    one, other = pair

    assert share_a_repair(EventId(one), EventId(other))


@pytest.mark.parametrize("machine", mostly_slow(MACHINES, 1))
def test_the_walk_leads_to_a_repair_that_cures_the_fault(machine: MachineId) -> None:
    turn = MACHINES.index(machine)
    walked = [
        (complaint, cause)
        for number, (cause, complaint) in enumerate(places(machine).items())
        if EVERY_CAUSE or number % ONE_IN == 3 * turn % ONE_IN
    ]
    by_complaint: dict[EventId, list[EventId]] = defaultdict(list)
    for complaint, cause in walked:
        by_complaint[complaint].append(cause)

    lost = {}
    for complaint, causes in by_complaint.items():
        guide = Guide(machine, complaint)
        for cause in causes:
            outcome = guide.walk(cause)
            if outcome.cured_by is None:
                lost[cause] = (complaint, outcome.leaders[0], outcome.in_vain)

    assert lost == {}
