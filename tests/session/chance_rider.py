"""A rider whose engine is drawn from the model and answers by its chances, for whole walks by entries."""

from __future__ import annotations

from collections.abc import Iterator

from kickover.core.ids import CheckId, EventId, ItemId, KitId, MachineId
from kickover.inference.compiled_model import EngineState
from kickover.model.library import Library
from kickover.session.entries import Answered, Entry, GaveUp, Prepared, Proved, Repaired, Waited
from kickover.session.session import Phase, Session, Task, begin
from kickover.simulation.simulated_walk import Engine

MOST_STEPS = 150
ENDED = {Phase.MENDED, Phase.GIVEN_UP, Phase.FOUND}


def started(library: Library, machine: str, complaint: str, kit: frozenset[ItemId] | None = None) -> Session:
    """A walk at its beginning."""
    return begin(library, library.machines[MachineId(machine)], [EventId(complaint)], kit=kit)


def engine(session: Session, seed: int, number: int) -> Engine:
    """An engine drawn from the model of the walk; `seed` and `number` fix all that it will show."""
    return Engine(session.model, seed, number, slips=0.0)


def course(library: Library, number: int) -> Iterator[tuple[Task, Session]]:
    """A whole honest walk; machine, complaint, kit and engine go round with the number."""
    pairs = [
        (machine.id, complaint.id)
        for machine in library.machines.values()
        for complaint in library.complaints.values()
        if machine.fits(complaint.gate.only_if)
    ]
    machine, complaint = pairs[number * 37 % len(pairs)]
    kit = library.kits[KitId(("bench", "pouch")[number % 2])].items
    session = started(library, machine, complaint, kit)
    return honest_walk(session, engine(session, 7, number))


def honest(session: Session, task: Task, drawn: Engine) -> Entry:
    """What an honest rider records of this engine when asked `task`."""
    match task.phase:
        case Phase.CHECK:
            check = CheckId(task.id)
            state = EngineState(session.job.houses, session.belief.made)
            return Answered(check, session.model.checks[check].findings[drawn.shows(check, state)].id)
        case Phase.REPAIR:
            return Repaired(task.id)
        case Phase.PROOF:
            assert session.proving is not None
            return Proved(drawn.mended(session.belief.made | {session.proving}))
        case Phase.GIVE_UP:
            return GaveUp()
        case _:
            assert task.preparation is not None
            if task.preparation.wait_for is not None:
                return Waited(task.id)
            return Prepared(task.id, task.preparation.undo)


def honest_walk(session: Session, drawn: Engine) -> Iterator[tuple[Task, Session]]:
    """Each task of a walk with the walk after it, until it ends; AssertionError when it does not."""
    for _ in range(MOST_STEPS):
        task = session.task()
        if task.phase in ENDED:
            return
        session = session.record(honest(session, task, drawn))
        yield task, session
    raise AssertionError(f"a walk of engine {drawn.number} does not end in {MOST_STEPS} steps")
