"""A tester without error, who answers as one hidden fault most likely would and mends what it is told to.

The fault is put where it is likeliest: under the complaint that it alone most often stands behind. Repairs
end the complaint when the model says so, and a proof is then true.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache

import numpy as np

from kickover.core.ids import CheckId, EventId, FindingId, MachineId, RepairId
from kickover.inference.belief import Belief, Evidence, prior_belief
from kickover.inference.compiled_model import EngineState, Model, compile_model
from kickover.inference.hypotheses import ENDED
from kickover.planning.job_state import Job, step_cost
from kickover.session.entries import Answered, Entry, Prepared, Proved, Repaired, Waited
from kickover.session.session import Phase, Session, Task, begin
from worlds.shipped_library import shipped
from worlds.sure_repairs import row_after

BENCH = 600.0
"""Minutes at which a workshop gives up: later than a rider, so that no repair is too long to be made."""

MOST_STEPS = 80
"""Steps after which a walk goes round in circles."""


@cache
def model_of(machine: MachineId, complaint: EventId) -> Model:
    """The compiled model of a complaint on a machine of the shipped library."""
    library = shipped()
    return compile_model(library, library.machines[machine], [complaint])


@cache
def places(machine: MachineId) -> dict[EventId, EventId]:
    """For each cause that the machine can have, the complaint that it alone is likeliest to stand behind.

    A cause that never acts alone has the complaint of its likeliest set; undeveloped events have none.
    """
    best: dict[EventId, tuple[bool, float, EventId]] = {}
    for complaint in shipped().complaints:
        hypotheses = model_of(machine, complaint).hypotheses
        size = (hypotheses.members >= 0).sum(axis=1)
        for position, cause in enumerate(hypotheses.structure.causes):
            present = (hypotheses.members == position).any(axis=1)
            for single in (True, False):
                mass = float(hypotheses.prior[present & ((size == 1) == single)].sum())
                if mass > 0.0 and not hypotheses.undeveloped[position]:
                    best[cause] = max(best.get(cause, (False, 0.0, complaint)), (single, mass, complaint))
    return {cause: complaint for cause, (_, _, complaint) in best.items()}


def hidden(model: Model, cause: EventId) -> int:
    """The row of the likeliest hypothesis with `cause`: alone if it can act alone, else its likeliest set."""
    hypotheses = model.hypotheses
    position = hypotheses.structure.causes.index(cause)
    present = (hypotheses.members == position).any(axis=1)
    alone = present & ((hypotheses.members >= 0).sum(axis=1) == 1)
    rows = np.flatnonzero(alone if alone.any() else present)
    return int(rows[np.argmax(hypotheses.prior[rows])])


def finding_of(model: Model, check: CheckId, row: int, state: EngineState) -> FindingId:
    """The likeliest finding of a check under one hypothesis."""
    column = model.line_positions(check, state)[row]
    return model.checks[check].findings[int(np.argmax(model.chances[check][:, column]))].id


def after_every_check(model: Model, row: int) -> Belief:
    """The belief when each check that can be made has shown what the hidden fault most likely shows."""
    start = Job(model.hypotheses.houses)
    belief = prior_belief(model)
    for id_, check in model.checks.items():
        taken = step_cost(model.library, start, check.needs)
        if taken is None:
            continue
        state = EngineState(taken.after.houses)
        seen = finding_of(model, id_, row, state)
        weights = tuple(1.0 if finding.id == seen else 0.0 for finding in check.findings)
        belief = belief.after(Evidence(id_, weights, state))
    return belief


@dataclass
class Outcome:
    """How a guided walk ended: the repair that cured it, the ranking before it, the repairs made in vain."""

    cured_by: RepairId | None
    leaders: tuple[EventId, ...]
    in_vain: list[RepairId] = field(default_factory=list)


class Guide:
    """Guided walks on one machine and complaint; what two of them share is planned once."""

    def __init__(self, machine: MachineId, complaint: EventId) -> None:
        library = shipped()
        self.start = begin(library, library.machines[machine], [complaint], give_up=BENCH)
        self._tasks: dict[tuple[Entry, ...], Task] = {}

    def walk(self, cause: EventId) -> Outcome:
        """Walk until the complaint is gone, the walk gives up, or it goes round in circles."""
        session = self.start
        row = hidden(session.model, cause)
        first: tuple[EventId, ...] = ()
        in_vain: list[RepairId] = []
        for _ in range(MOST_STEPS):
            task = self._task(session)
            match task.phase:
                case Phase.MENDED:
                    return Outcome(session.mended, first, in_vain)
                case Phase.GIVE_UP | Phase.GIVEN_UP:
                    break
                case Phase.REPAIR:
                    first = leaders(session.belief)
            entry = self._answer(session, task, row)
            if isinstance(entry, Proved) and not entry.gone and session.proving is not None:
                in_vain.append(session.proving)
            session = session.record(entry)
        return Outcome(None, leaders(session.belief), in_vain)

    def _task(self, session: Session) -> Task:
        if session.entries not in self._tasks:
            self._tasks[session.entries] = session.task()
        return self._tasks[session.entries]

    def _answer(self, session: Session, task: Task, row: int) -> Entry:
        model = session.model
        match task.phase:
            case Phase.CHECK:
                state = EngineState(session.job.houses, session.belief.made)
                left = row_after(model, row, session.belief.made)
                return Answered(task.id, finding_of(model, CheckId(task.id), left, state))
            case Phase.REPAIR:
                return Repaired(task.id)
            case Phase.PROOF:
                assert session.proving is not None
                made = session.belief.made | {session.proving}
                return Proved(gone=row_after(model, row, made) == ENDED)
            case _:
                preparation = task.preparation
                assert preparation is not None
                if preparation.setup is None:
                    return Waited(preparation.wait_for or "")
                return Prepared(preparation.setup, preparation.undo)


def leaders(belief: Belief) -> tuple[EventId, ...]:
    """The likeliest listed cause, and those as likely."""
    known = shipped().causes
    ranking = [ranked for ranked in belief.ranking() if ranked.cause in known]
    top = ranking[0].probability
    return tuple(ranked.cause for ranked in ranking if ranked.probability > top - 1e-9)
