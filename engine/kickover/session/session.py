"""A walk as a value: what was recorded so far, what it means, and what to ask for next.

No input, no output, no clock. Recording an entry gives a new session; undo is keeping the old one, which is
why each session knows the one before.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field, replace
from enum import StrEnum

from kickover.core.ids import CheckId, EventId, ItemId, RepairId, SetupId
from kickover.inference.belief import Belief, Evidence, believe, prior_belief
from kickover.inference.compiled_model import EngineState, Model, compile_model
from kickover.inference.repair_effect import Change
from kickover.model.library import Complaint, Library, Machine, Needs
from kickover.model.situation import with_event
from kickover.planning.job_state import Job, Preparation, done, job_at_start, missing, proof_needs, step_cost
from kickover.planning.plan import Plan, Step, StepKind, plan
from kickover.planning.put_off import MOST_UNPROVEN, pays_before_proof
from kickover.session.commitment import held_to, with_resting
from kickover.session.entries import (
    Answer,
    Answered,
    Cannot,
    Chose,
    Entry,
    GaveUp,
    Measured,
    Noted,
    Prepared,
    Proved,
    PutOff,
    Repaired,
    Skipped,
    Waited,
)
from kickover.session.weighing import WalkError, answer_weights, check_named, repeated_weights

__all__ = ["Phase", "Session", "Task", "WalkError", "begin", "needs_of"]


class Phase(StrEnum):
    """What the walk is waiting for; or how it ended: mended, the cause found and not mended, or given up."""

    CHECK = "check"
    PREPARE = "prepare"
    REPAIR = "repair"
    PROOF = "proof"
    GIVE_UP = "give-up"
    MENDED = "mended"
    FOUND = "found"
    GIVEN_UP = "given-up"


@dataclass(frozen=True, slots=True)
class Task:
    """What is asked of the person now.

    `id` names the check, repair or setup; for a preparation, `toward` is the step that it is made for.
    """

    phase: Phase
    id: str
    minutes: float
    preparation: Preparation | None = None
    toward: Step | None = None


@dataclass(frozen=True, slots=True)
class Session:
    """One walk at one moment.

    `asked` holds each check with the state in which it was made and all its answers there; `proving` is a
    repair that was made and not proven yet, `put_off` are those before it whose proof waits for the same one,
    `chosen` the step that the person picked. `mended` is the repair that ended the complaint, and of several
    `mended_by` the likeliest; `found` is a test that took it away for as long as it lasted.
    """

    model: Model
    complaints: tuple[EventId, ...]
    give_up: float | None
    belief: Belief
    job: Job
    entries: tuple[Entry, ...] = ()
    evidence: tuple[Evidence, ...] = ()
    asked: tuple[tuple[Evidence, tuple[Answer, ...]], ...] = ()
    before: Session | None = field(default=None, repr=False)
    proving: RepairId | None = None
    put_off: tuple[RepairId, ...] = ()
    mended: RepairId | None = None
    mended_by: tuple[RepairId, ...] = ()
    found: RepairId | None = None
    ended: bool = False
    chosen: CheckId | RepairId | None = None
    skipped: frozenset[str] = frozenset()
    stops: tuple[str, ...] = ()
    minutes: float = 0.0
    _plans: dict[str, Plan] = field(default_factory=dict, init=False, repr=False, compare=False)

    @property
    def library(self) -> Library:
        """The library that the walk reasons with."""
        return self.model.library

    @property
    def complaint(self) -> Complaint:
        """The first complaint, whose proof ends the walk."""
        return self.library.complaints[self.complaints[0]]

    @property
    def unproven(self) -> tuple[RepairId, ...]:
        """The repairs that were made since the last proof, in order."""
        return self.put_off if self.proving is None else (*self.put_off, self.proving)

    def plan(self) -> Plan:
        """Every step that can be taken now, best first; skipped ones come back when nothing else is left."""
        if "now" not in self._plans:
            self._plans["now"] = held_to(self._valued(), self.readied(), self.model, self.job)
        return self._plans["now"]

    def task(self) -> Task:
        """What is asked of the person now."""
        if self.mended is not None:
            return Task(Phase.MENDED, self.mended, 0.0)
        if self.ended:
            return Task(Phase.GIVEN_UP, "", 0.0) if self.found is None else Task(Phase.FOUND, self.found, 0.0)
        if self.proving is not None:
            return self._proof_task()
        step = self._chosen_step() or (self.next_before_proof() if self.put_off else None) or self.plan().next
        if step.kind is StepKind.GIVE_UP and self.found is not None:
            return Task(Phase.FOUND, self.found, 0.0)
        if step.step_cost.preparations:
            first = step.step_cost.preparations[0]
            return Task(Phase.PREPARE, first.setup or first.wait_for or "", first.minutes, first, step)
        return Task(Phase(step.kind.value), step.id, step.step_cost.minutes, None, step)

    def missing_steps(self, most: int = 4) -> tuple[tuple[str, tuple[ItemId, ...]], ...]:
        """Steps that only lack a tool or a spare, the most useful first: title and what is missing."""
        if self.job.kit is None:
            return ()
        whole = plan(
            self.belief, replace(self.job, kit=None, barred=with_resting(self.model, self.job)), self.give_up
        )
        found = []
        for step in whole.steps:
            known = self.model.checks.get(CheckId(step.id)) or self.model.repairs.get(RepairId(step.id))
            if known is None or step.expected >= whole.repairs_only:
                continue
            lacking = list(missing(self.job, known.needs))
            for preparation in step.step_cost.preparations:
                if preparation.setup is not None and not preparation.undo:
                    lacking += missing(self.job, self.library.setups[preparation.setup].needs)
            if lacking:
                found.append((known.title, tuple(dict.fromkeys(lacking))))
        return tuple(found[:most])

    def record(self, entry: Entry) -> Session:
        """The walk after `entry`. Raises WalkError when the entry does not fit."""
        after = self._after(entry)
        return replace(after, entries=(*self.entries, entry), before=self)

    def back(self) -> Session:
        """The walk as it was before the last entry; the same walk at its start."""
        return self.before or self

    def at(self, count: int) -> Session:
        """The walk as it was when it had `count` entries."""
        session = self
        while len(session.entries) > count and session.before is not None:
            session = session.before
        return session

    def replayed(self, entries: Iterable[Entry]) -> Session:
        """The walk after several entries."""
        session = self
        for entry in entries:
            session = session.record(entry)
        return session

    def weights_of(self, entry: Answer) -> tuple[float, ...]:
        """The weight that an answer gives to each finding of its check."""
        return answer_weights(self.model, entry)

    def readied(self) -> str:
        """The step that the last thing done was a preparation for; an answer, a repair or news ends that."""
        if self.before is None:
            return ""
        match self.entries[-1]:
            case Noted():
                return self.before.readied()
            case Prepared(name) | Waited(name, told=False):
                task = self.before.task()
                return task.toward.id if task.toward is not None and task.id == name else ""
            case _:
                return ""

    def _valued(self) -> Plan:
        barred = with_resting(self.model, self.job)
        if self.skipped:
            skipping = barred | frozenset(CheckId(one) for one in self.skipped)
            planned = plan(self.belief, replace(self.job, barred=skipping), self.give_up)
            if planned.next.kind is not StepKind.GIVE_UP:
                return planned
        return plan(self.belief, replace(self.job, barred=barred), self.give_up)

    def next_before_proof(self) -> Step | None:
        """The repair that is best made before the proof of those made so far, as if they had not helped.

        None when there is none that pays, or when three would wait for one proof.
        """
        if len(self.unproven) not in range(1, MOST_UNPROVEN):
            return None
        return next((step for step in self._plan_if_failed().steps if step.kind is StepKind.REPAIR), None)

    def worth_before_proof(self) -> Step | None:
        """The repair whose making before the proof that is due saves minutes on average; None without one."""
        if self.proving is None:
            return None
        return pays_before_proof(self.belief, self.job, self.unproven, self._plan_if_failed())

    def _plan_if_failed(self) -> Plan:
        if "if failed" not in self._plans:
            job = replace(self.job, barred=with_resting(self.model, self.job))
            self._plans["if failed"] = plan(self.belief.after_all(self.unproven), job, self.give_up)
        return self._plans["if failed"]

    def _chosen_step(self) -> Step | None:
        if self.chosen is None:
            return None
        kind = StepKind.CHECK if self.chosen in self.model.checks else StepKind.REPAIR
        known = self.model.checks.get(CheckId(self.chosen)) or self.model.repairs[RepairId(self.chosen)]
        taken = step_cost(self.library, self.job, known.needs)
        return Step(kind, known.id, taken, taken.minutes) if taken else None

    def _proof_task(self) -> Task:
        needs = proof_needs(self.library, self.job, self.complaint)
        taken = step_cost(self.library, self.job, needs)
        if taken is not None and taken.preparations:
            safe_first = sorted(
                taken.preparations, key=lambda preparation: not self._ends_danger(preparation)
            )
            first = safe_first[0]
            return Task(Phase.PREPARE, first.setup or first.wait_for or "", first.minutes, first)
        return Task(Phase.PROOF, self.complaint.id, needs.minutes)

    def _ends_danger(self, preparation: Preparation) -> bool:
        return preparation.setup is not None and self.library.setups[preparation.setup].danger

    def _after(self, entry: Entry) -> Session:
        match entry:
            case Answered() | Measured():
                return self._answered(entry)
            case Skipped(step):
                chosen = None if step == self.chosen else self.chosen
                return replace(self, skipped=self.skipped | {step}, chosen=chosen)
            case Cannot(step, toward):
                return self._cannot(step, toward)
            case Chose(step):
                return self._chose(step)
            case Prepared(setup, undone):
                return self._prepared(SetupId(setup), undone)
            case Waited(event, told):
                return self._waited(EventId(event), told)
            case Repaired(repair):
                return self._repaired(RepairId(repair))
            case Proved(gone, change):
                return self._proved(gone, change)
            case PutOff():
                return self._put_off()
            case Noted():
                return self
            case GaveUp():
                return replace(self, ended=True)

    def _answered(self, entry: Answer) -> Session:
        check = check_named(self.model, entry.check)
        houses = self.job.houses
        if entry.state:
            if entry.state not in self.library.houses:
                raise WalkError(f"there is no situation {entry.state!r}")
            houses = with_event(self.library, houses, EventId(entry.state))
        state = EngineState(houses, self.belief.made)
        fresh = answer_weights(self.model, entry)
        seen = check.findings[max(range(len(fresh)), key=fresh.__getitem__)]
        earlier = next((one for one in self.asked if (one[0].check, one[0].state) == (check.id, state)), None)
        entries = (*(earlier[1] if earlier else ()), entry)
        answer = Evidence(check.id, repeated_weights(self.model, entries), state)
        asked = (*(one for one in self.asked if one is not earlier), (answer, entries))
        evidence = tuple(one for one, _ in asked)
        belief = believe(self.model, evidence, self.belief.attempts) if earlier else self.belief.after(answer)
        job = done(self.job, check.needs)
        in_place = job.in_place | frozenset(check.needs.setups) | frozenset(seen.leaves)
        return replace(
            self,
            belief=belief,
            evidence=evidence,
            asked=asked,
            job=replace(job, made=job.made | {check.id}, in_place=in_place),
            stops=tuple(dict.fromkeys((*self.stops, seen.stop))) if seen.stop else self.stops,
            chosen=None if self.chosen == check.id else self.chosen,
            minutes=self.minutes + check.needs.minutes,
        )

    def _cannot(self, step: str, toward: str) -> Session:
        given = frozenset(CheckId(one) for one in (step, toward) if one)
        job = replace(self.job, barred=self.job.barred | given)
        chosen = None if self.chosen in given else self.chosen
        return replace(self, job=job, chosen=chosen, ended=self.ended or self.proving is not None)

    def _chose(self, step: str) -> Session:
        known = self.model.checks.get(CheckId(step)) or self.model.repairs.get(RepairId(step))
        if known is None:
            raise WalkError(f"there is no check or repair {step!r} for {self.model.machine.title}")
        if step_cost(self.library, self.job, known.needs) is None:
            raise WalkError(f"{known.title!r} cannot be done now: a tool, a part or the state is missing")
        return replace(self, chosen=known.id)

    def _prepared(self, setup: SetupId, undone: bool) -> Session:
        known = self.library.setups.get(setup)
        if known is None:
            raise WalkError(f"there is no setup {setup!r}")
        spent = known.undo_minutes if undone and not known.danger else known.needs.minutes
        in_place = self.job.in_place - {setup} if undone else self.job.in_place | {setup, *known.needs.leaves}
        job = replace(self.job, in_place=in_place, spot=known.needs.spot or self.job.spot)
        return replace(self, job=job, minutes=self.minutes + spent)

    def _waited(self, event: EventId, told: bool) -> Session:
        known = self.library.houses.get(event)
        if known is None:
            raise WalkError(f"there is no situation {event!r}")
        job = replace(self.job, houses=with_event(self.library, self.job.houses, event))
        return replace(self, job=job, minutes=self.minutes + (0.0 if told else known.wait or 0.0))

    def _repaired(self, repair: RepairId) -> Session:
        known = self.model.repairs.get(repair)
        if known is None:
            raise WalkError(f"there is no repair {repair!r} for {self.model.machine.title}")
        job = done(self.job, known.needs)
        minutes = self.minutes + known.needs.minutes
        return replace(self, job=job, put_off=self.unproven, proving=repair, chosen=None, minutes=minutes)

    def _put_off(self) -> Session:
        if self.proving is None:
            raise WalkError("nothing was repaired yet, so there is no proof to put off")
        if self.next_before_proof() is None:
            raise WalkError("there is no other repair to make before this proof")
        return replace(self, put_off=self.unproven, proving=None)

    def _proved(self, gone: bool, change: Change | None) -> Session:
        if self.proving is None:
            raise WalkError("nothing was repaired yet, so there is nothing to prove")
        proven = replace(self, proving=None, put_off=(), minutes=self.minutes + self.complaint.proof.minutes)
        made = self.unproven
        if gone and len(made) == 1 and self.library.repairs[self.proving].test:
            found = self.belief.after_repair(self.proving, Change.GONE)
            return replace(proven, belief=found, found=self.proving)
        if gone:
            likeliest = max(made, key=self.belief.cured_by)
            return replace(proven, belief=self.belief.ended_by(made), mended=likeliest, mended_by=made)
        return replace(proven, belief=self.belief.after_all(made, change if len(made) == 1 else None))


def begin(
    library: Library,
    machine: Machine,
    complaints: Sequence[EventId],
    given: AbstractSet[EventId] = frozenset(),
    kit: AbstractSet[ItemId] | None = None,
    give_up: float | None = None,
    order: int | None = None,
) -> Session:
    """Begin a walk.

    `kit` None means that every tool and spare is at hand; `order` is how many causes may meet, None what the
    library says.
    """
    model = compile_model(library, machine, complaints, given, order)
    return Session(model, tuple(complaints), give_up, prior_belief(model), job_at_start(model, kit))


def needs_of(session: Session, task: Task) -> Needs:
    """The needs of what is asked now: its tools, its hazards."""
    library = session.library
    match task.phase:
        case Phase.CHECK:
            return library.checks[CheckId(task.id)].needs
        case Phase.REPAIR:
            return library.repairs[RepairId(task.id)].needs
        case Phase.PREPARE if task.preparation is not None and task.preparation.setup is not None:
            return library.setups[task.preparation.setup].needs
        case Phase.PROOF:
            return proof_needs(library, session.job, session.complaint)
        case _:
            return Needs(minutes=task.minutes)
