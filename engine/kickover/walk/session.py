"""A walk as a value: what was recorded so far, what it means, and what to ask for next.

No input, no output, no clock. Recording an entry gives a new session; undo is keeping the old one, which is
why each session knows the one before.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from enum import StrEnum

from kickover.ids import CheckId, EventId, FindingId, ItemId, RepairId, SetupId
from kickover.library.model import Check, Complaint, Library, Machine, Needs
from kickover.problem import KickoverError
from kickover.reason.answers import choice_weights, range_weights, reading_weights
from kickover.reason.belief import Belief, Evidence, prior_belief
from kickover.reason.job import Job, Preparation, done, missing, outlay, proof_needs
from kickover.reason.model import EngineState, Model, compile_model
from kickover.reason.plan import Plan, Step, StepKind, plan
from kickover.reason.situation import with_event
from kickover.walk.entries import (
    Answered,
    Cannot,
    Entry,
    GaveUp,
    Measured,
    Noted,
    Prepared,
    Proved,
    Repaired,
    Skipped,
    Waited,
)


class WalkError(KickoverError):
    """An entry that does not fit the walk: an unknown check, finding, repair or state."""


class Phase(StrEnum):
    """What the walk is waiting for."""

    CHECK = "check"
    PREPARE = "prepare"
    REPAIR = "repair"
    PROOF = "proof"
    GIVE_UP = "give-up"
    MENDED = "mended"
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
    """One walk at one moment."""

    model: Model
    complaints: tuple[EventId, ...]
    give_up: float | None
    belief: Belief
    job: Job
    entries: tuple[Entry, ...] = ()
    evidence: tuple[Evidence, ...] = ()
    before: Session | None = None
    proving: RepairId | None = None
    mended: RepairId | None = None
    ended: bool = False
    skipped: frozenset[str] = frozenset()
    stops: tuple[str, ...] = ()
    minutes: float = 0.0

    @property
    def library(self) -> Library:
        """The library that the walk reasons with."""
        return self.model.library

    @property
    def complaint(self) -> Complaint:
        """The first complaint, whose proof ends the walk."""
        return self.library.complaints[self.complaints[0]]

    def plan(self) -> Plan:
        """Every step that can be taken now, best first; skipped ones come back when nothing else is left."""
        now = replace(self.job, barred=self.job.barred | frozenset(CheckId(one) for one in self.skipped))
        planned = plan(self.belief, now, self.give_up)
        if self.skipped and planned.next.kind is StepKind.GIVE_UP:
            return plan(self.belief, self.job, self.give_up)
        return planned

    def task(self) -> Task:
        """What is asked of the person now."""
        if self.mended is not None:
            return Task(Phase.MENDED, self.mended, 0.0)
        if self.ended:
            return Task(Phase.GIVEN_UP, "", 0.0)
        if self.proving is not None:
            return self._proof_task()
        step = self.plan().next
        if step.outlay.preparations:
            first = step.outlay.preparations[0]
            return Task(Phase.PREPARE, first.setup or first.wait_for or "", first.minutes, first, step)
        return Task(Phase(step.kind.value), step.id, step.outlay.minutes, None, step)

    def missing_steps(self, most: int = 4) -> tuple[tuple[str, tuple[ItemId, ...]], ...]:
        """Steps that only lack a tool or a spare, the most useful first: title and what is missing."""
        if self.job.kit is None:
            return ()
        whole = plan(self.belief, replace(self.job, kit=None), self.give_up)
        found = []
        for step in whole.steps:
            known = self.model.checks.get(CheckId(step.id)) or self.model.repairs.get(RepairId(step.id))
            if known is None or step.expected >= whole.repairs_only:
                continue
            lacking = list(missing(self.job, known.needs))
            for preparation in step.outlay.preparations:
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

    def replayed(self, entries: Iterable[Entry]) -> Session:
        """The walk after several entries."""
        session = self
        for entry in entries:
            session = session.record(entry)
        return session

    def _proof_task(self) -> Task:
        needs = proof_needs(self.library, self.job, self.complaint)
        taken = outlay(self.library, self.job, needs)
        if taken is not None and taken.preparations:
            first = taken.preparations[0]
            return Task(Phase.PREPARE, first.setup or first.wait_for or "", first.minutes, first)
        return Task(Phase.PROOF, self.complaint.id, needs.minutes)

    def _after(self, entry: Entry) -> Session:
        match entry:
            case Answered() | Measured():
                return self._answered(entry)
            case Skipped(step):
                return replace(self, skipped=self.skipped | {step})
            case Cannot(step):
                return self._cannot(step)
            case Prepared(setup, undone):
                return self._prepared(SetupId(setup), undone)
            case Waited(event):
                return self._waited(EventId(event))
            case Repaired(repair):
                return self._repaired(RepairId(repair))
            case Proved(gone):
                return self._proved(gone)
            case Noted():
                return self
            case GaveUp():
                return replace(self, ended=True)

    def _answered(self, entry: Answered | Measured) -> Session:
        check = self._check(entry.check)
        houses = self.job.houses
        if entry.state:
            if entry.state not in self.library.houses:
                raise WalkError(f"there is no situation {entry.state!r}")
            houses = with_event(self.library, houses, EventId(entry.state))
        state = EngineState(houses, self.belief.cured)
        fresh = Evidence(check.id, self.weights_of(entry), state)
        earlier = next((one for one in self.evidence if one.check == check.id and one.state == state), None)
        if earlier is None:
            belief, answer = self.belief.after(fresh), fresh
        else:
            answer = self._combined(check, entry, earlier, fresh)
            belief = self.belief.corrected(earlier, answer)
        seen = check.findings[max(range(len(fresh.weights)), key=fresh.weights.__getitem__)]
        job = done(self.job, check.needs)
        setups = self.job.in_place | frozenset(check.needs.setups)
        job = replace(
            job, made=job.made | {check.id}, in_place=job.in_place | setups | frozenset(seen.leaves)
        )
        stops = (*self.stops, seen.stop) if seen.stop and seen.stop not in self.stops else self.stops
        return replace(
            self,
            belief=belief,
            evidence=(*(one for one in self.evidence if one is not earlier), answer),
            job=job,
            stops=stops,
            minutes=self.minutes + check.needs.minutes,
        )

    def _combined(
        self, check: Check, entry: Answered | Measured, earlier: Evidence, fresh: Evidence
    ) -> Evidence:
        """One answer for a check made again: the mean of its readings, or the mean of its choices.

        Repeats with the same hands and instrument are not independent, so they never count twice over.
        """
        repeats = [one for one in self.entries if isinstance(one, Measured) and one.check == check.id]
        if isinstance(entry, Measured) and repeats and check.reading is not None:
            values = [(one.low + one.high) / 2.0 for one in (*repeats, entry)]
            edges = self.model.edges[check.id]
            mean = sum(values) / len(values)
            weights = reading_weights(check.reading, edges, mean, len(values))
        else:
            count = 1 + sum(
                isinstance(one, Answered | Measured) and one.check == check.id for one in self.entries
            )
            weights = tuple(
                (old * (count - 1) + new) / count
                for old, new in zip(earlier.weights, fresh.weights, strict=True)
            )
        return replace(fresh, weights=weights)

    def weights_of(self, entry: Answered | Measured) -> tuple[float, ...]:
        """The weight that an answer gives to each finding of its check."""
        check = self._check(entry.check)
        if isinstance(entry, Measured):
            if check.reading is None:
                raise WalkError(f"check {check.id!r} takes an answer, not a reading")
            edges = self.model.edges[check.id]
            if entry.low == entry.high:
                return reading_weights(check.reading, edges, entry.low)
            return range_weights(check.reading, edges, entry.low, entry.high)
        if check.finding(entry.finding) is None:
            known = ", ".join(finding.id for finding in check.findings)
            raise WalkError(f"check {check.id!r} has no finding {entry.finding!r}; it has {known}")
        return choice_weights(check, FindingId(entry.finding), entry.sureness)

    def _check(self, name: str) -> Check:
        check = self.model.checks.get(CheckId(name))
        if check is None:
            raise WalkError(f"there is no check {name!r} for {self.model.machine.title}")
        return check

    def _cannot(self, step: str) -> Session:
        job = replace(self.job, barred=self.job.barred | {CheckId(step)})
        if self.proving is not None:
            return replace(self, job=job, ended=True)
        return replace(self, job=job)

    def _prepared(self, setup: SetupId, undone: bool) -> Session:
        known = self.library.setups.get(setup)
        if known is None:
            raise WalkError(f"there is no setup {setup!r}")
        spent = known.undo_minutes if undone and not known.danger else known.needs.minutes
        in_place = self.job.in_place - {setup} if undone else self.job.in_place | {setup, *known.needs.leaves}
        job = replace(self.job, in_place=in_place, spot=known.needs.spot or self.job.spot)
        return replace(self, job=job, minutes=self.minutes + spent)

    def _waited(self, event: EventId) -> Session:
        known = self.library.houses.get(event)
        if known is None:
            raise WalkError(f"there is no situation {event!r}")
        job = replace(self.job, houses=with_event(self.library, self.job.houses, event))
        return replace(self, job=job, minutes=self.minutes + (known.wait or 0.0))

    def _repaired(self, repair: RepairId) -> Session:
        known = self.model.repairs.get(repair)
        if known is None:
            raise WalkError(f"there is no repair {repair!r} for {self.model.machine.title}")
        job = done(self.job, known.needs)
        return replace(self, job=job, proving=repair, minutes=self.minutes + known.needs.minutes)

    def _proved(self, gone: bool) -> Session:
        if self.proving is None:
            raise WalkError("nothing was repaired yet, so there is nothing to prove")
        minutes = self.minutes + self.complaint.proof.minutes
        if gone:
            return replace(self, proving=None, mended=self.proving, minutes=minutes)
        return replace(self, belief=self.belief.after_repair(self.proving), proving=None, minutes=minutes)


def begin(
    library: Library,
    machine: Machine,
    complaints: Sequence[EventId],
    given: AbstractSet[EventId] = frozenset(),
    kit: AbstractSet[ItemId] | None = None,
    give_up: float | None = None,
) -> Session:
    """Begin a walk. `kit` None means that every tool and spare is at hand."""
    model = compile_model(library, machine, complaints, given)
    job = Job(model.hypotheses.houses, None if kit is None else frozenset(kit))
    return Session(model, tuple(complaints), give_up, prior_belief(model), job)


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
