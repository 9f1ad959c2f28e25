"""A drill as a value: the engine, the work done on it so far, and what a choice brings about.

No input, no output, no clock. The work is recorded in a session of the walk, so that minutes are counted and
beliefs are held exactly as the planner's are.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from kickover.core.ids import CheckId, EventId, RepairId, SetupId
from kickover.inference.compiled_model import EngineState
from kickover.model.library import Needs
from kickover.planning.job_state import proof_needs, step_cost
from kickover.session.entries import Answered, GaveUp, Measured, Prepared, Proved, Repaired, Waited
from kickover.session.session import Session
from kickover.session.wording import minutes_in_words, preparation_title
from kickover.training.hidden_engine import DrillError, HiddenEngine
from kickover.training.workbench import Danger, Kind, dangers_of, job_title, offered
from kickover.units import Quantity, show

AS_LIKELY = 0.5
"""A cause that was named is not counted as wrong when it was at least so likely against the true one."""


class PracticeStage(StrEnum):
    """What the drill waits for: a choice, the proof of a repair, the name of the cause, or nothing."""

    CHOOSE = "choose"
    PROVE = "prove"
    NAME = "name"
    OVER = "over"


class Deed(StrEnum):
    """What a move was."""

    CHECK = "check"
    REPAIR = "repair"
    JOB = "job"
    TRY = "try"
    STOP = "stop"


@dataclass(frozen=True, slots=True)
class WorkChoice:
    """One choice of the learner: the walk before and after it, what came of it in words, and its dangers."""

    deed: Deed
    id: str
    title: str
    before: Session
    after: Session
    outcome: tuple[str, ...]
    dangers: tuple[Danger, ...] = ()

    @property
    def minutes(self) -> float:
        """What it took."""
        return self.after.minutes - self.before.minutes


@dataclass(frozen=True, slots=True)
class Practice:
    """One drill at one moment.

    `claim` is the cause that the learner named before repairing it; `named` are all causes named so far.
    """

    engine: HiddenEngine
    session: Session
    moves: tuple[WorkChoice, ...] = ()
    stage: PracticeStage = PracticeStage.CHOOSE
    claim: EventId | None = None
    named: tuple[EventId, ...] = ()
    hints: int = 0

    @property
    def cured(self) -> bool:
        """Tell whether the complaint is gone."""
        return self.session.mended is not None

    @property
    def dangers(self) -> tuple[Danger, ...]:
        """Every danger that the learner walked into."""
        return tuple(danger for move in self.moves for danger in move.dangers)

    @property
    def wrongly_named(self) -> tuple[EventId, ...]:
        """Causes that were named, are none of the hidden ones, and fitted what was seen worse than those."""
        return tuple(
            cause
            for cause in self.named
            if cause not in self.engine.causes and not self._fitted_as_well(cause)
        )

    def _fitted_as_well(self, cause: EventId) -> bool:
        """Tell whether the findings fitted `cause` about as well as a hidden cause of the same repair."""
        repairs = [move for move in self.moves if move.deed is Deed.REPAIR and cause in self._cures(move.id)]
        for move in repairs:
            shares = move.before.belief.marginals()
            hidden = [shares.get(other, 0.0) for other in self._cures(move.id) if other in self.engine.causes]
            if hidden and shares.get(cause, 0.0) >= AS_LIKELY * min(hidden):
                return True
        return False

    def _cures(self, repair: str) -> tuple[EventId, ...]:
        possible = set(self.session.model.hypotheses.structure.causes)
        return tuple(
            cause for cause in self.session.model.repairs[RepairId(repair)].cures if cause in possible
        )

    def _to_name(self) -> tuple[EventId, ...]:
        """What one repair that ended a hidden cause could have ended, while that was not named; else nothing.

        A repair of a single cause says by itself what it was.
        """
        for move in self.moves:
            if move.deed is Deed.REPAIR:
                cures = self._cures(move.id)
                if any(cause in self.engine.causes for cause in cures) and not set(cures) & set(self.named):
                    return cures
        return ()

    def check(self, id_: str) -> Practice:
        """Make a check and see what it shows."""
        known = self.session.model.checks.get(CheckId(id_))
        if known is None or not offered(self.session, Kind.CHECK, id_):
            raise DrillError(f"the check {id_!r} cannot be made here with these tools")
        if careless := dangers_of(self.session.library, self.session.job, known.needs, known.title):
            return self._stopped(Deed.CHECK, id_, known.title, careless)
        session, said = _prepared(self.session, known.needs)
        state = EngineState(session.job.houses, session.belief.made)
        made = (entry for entry in session.entries if isinstance(entry, Answered | Measured))
        attempt = sum(entry.check == id_ for entry in made)
        answer = self.engine.answer(known.id, state, attempt)
        after = session.record(answer)
        if isinstance(answer, Measured):
            unit = known.reading.unit if known.reading else ""
            seen = f"{known.title}: {show(Quantity(answer.low, unit))}."
        else:
            finding = known.finding(answer.finding)
            assert finding is not None
            seen = f"{known.ask} {finding.title}."
        outcome = [*said, seen, *(f"STOP: {stop}" for stop in after.stops if stop not in session.stops)]
        if self.engine.level.warns:
            outcome += [f"{library_title}." for library_title in _new_dangers(self.session, after)]
        return self._moved(Deed.CHECK, id_, known.title, after, outcome)

    def repair(self, id_: str, claim: EventId | None = None) -> Practice:
        """Make a repair; whether it helped shows when it is tried."""
        known = self.session.model.repairs.get(RepairId(id_))
        if known is None or not offered(self.session, Kind.REPAIR, id_):
            raise DrillError(f"the repair {id_!r} cannot be made here with these tools")
        if careless := dangers_of(self.session.library, self.session.job, known.needs, known.title):
            return self._stopped(Deed.REPAIR, id_, known.title, careless)
        session, said = _prepared(self.session, known.needs)
        after = session.record(Repaired(id_))
        moved = self._moved(Deed.REPAIR, id_, known.title, after, [*said, f"Done: {known.title}."])
        return replace(moved, stage=PracticeStage.PROVE, claim=claim)

    def name(self, cause: EventId) -> Practice:
        """Name the cause: at the end, or before, which makes its quickest repair."""
        if self.stage is PracticeStage.NAME:
            return replace(self, named=(*self.named, cause)).settled()
        library, job = self.session.library, self.session.job
        quickest = sorted(
            (taken.minutes, repair.id)
            for repair in self.session.model.repairs.values()
            if cause in repair.cures and (taken := step_cost(library, job, repair.needs)) is not None
        )
        if not quickest:
            raise DrillError(f"nothing here repairs {library.title_of(cause)!r} with these tools")
        made = self.repair(quickest[0][1], cause)
        return replace(made, named=(*self.named, cause)) if made.stage is PracticeStage.PROVE else made

    def job(self, setup: str) -> Practice:
        """Do a safety job: end a danger, or look over the brakes."""
        library = self.session.library
        if not offered(self.session, Kind.JOB, setup):
            raise DrillError(f"there is no safety job {setup!r}")
        known = library.setups[SetupId(setup)]
        title = job_title(library, known.id)
        after = self.session.record(Prepared(setup, undone=known.danger))
        needless = known.danger and known.id not in self.session.job.in_place
        words = f"{title}: done." if not needless else f"{title}: done, though there was nothing to end."
        return self._moved(Deed.JOB, setup, title, after, [words])

    def try_it(self) -> Practice:
        """Try whether the repair helped."""
        if self.session.proving is None:
            raise DrillError("nothing was repaired yet, so there is nothing to try")
        complaint = self.session.complaint
        needs = proof_needs(self.session.library, self.session.job, complaint)
        title = f"Try it: {complaint.proof.ask}"
        if careless := dangers_of(self.session.library, self.session.job, needs, title):
            return self._stopped(Deed.TRY, complaint.id, title, careless)
        session, said = _prepared(self.session, needs)
        gone = self.engine.gone(session.belief.made | {self.session.proving})
        after = session.record(Proved(gone))
        found = "Yes: the complaint is gone." if gone else "No, still the same."
        outcome = [*said, f"{complaint.proof.ask} {found}"]
        if not gone and self.claim in self.engine.causes:
            outcome.append("You named a true fault, and it is mended. Something else is wrong besides.")
        moved = self._moved(Deed.TRY, complaint.id, title, after, outcome)
        if not gone:
            return replace(moved, stage=PracticeStage.CHOOSE, claim=None)
        return replace(moved, stage=PracticeStage.NAME).settled()

    def settled(self) -> Practice:
        """The drill at its end once every hidden cause that was repaired is named, else asking for one."""
        left = self._to_name()
        if not left:
            return replace(self, stage=PracticeStage.OVER)
        return replace(self, named=(*self.named, left[0])).settled() if len(left) == 1 else self

    def give_up(self) -> Practice:
        """Stop without a cure."""
        moved = self._moved(Deed.STOP, "give-up", "Gave up", self.session.record(GaveUp()), ["You gave up."])
        return replace(moved, stage=PracticeStage.OVER)

    def candidates(self) -> tuple[EventId, ...]:
        """The causes that can be named now: those of the complaint, or those that the last repair cures."""
        if self.stage is not PracticeStage.NAME:
            return self.session.model.hypotheses.structure.causes
        return self._to_name()

    def _stopped(self, deed: Deed, id_: str, title: str, careless: tuple[Danger, ...]) -> Practice:
        outcome = [f'Your hand is stopped before "{title}".', *(danger.why for danger in careless)]
        move = WorkChoice(deed, id_, title, self.session, self.session, tuple(outcome), careless)
        return replace(self, moves=(*self.moves, move))

    def _moved(self, deed: Deed, id_: str, title: str, after: Session, outcome: list[str]) -> Practice:
        move = WorkChoice(deed, id_, title, self.session, after, tuple(outcome))
        return replace(self, session=after, moves=(*self.moves, move))


def _prepared(session: Session, needs: Needs) -> tuple[Session, list[str]]:
    """The walk with all preparations of a step made, and what they were, in words."""
    taken = step_cost(session.library, session.job, needs)
    if taken is None:
        raise DrillError("that cannot be done here with these tools")
    said = []
    for preparation in taken.preparations:
        if preparation.wait_for is not None:
            session = session.record(Waited(preparation.wait_for))
        elif preparation.setup is not None:
            session = session.record(Prepared(preparation.setup, preparation.undo))
        title, minutes = preparation_title(session.library, preparation), preparation.minutes
        said.append(f"First: {title} ({minutes_in_words(minutes)}).")
    return session, said


def _new_dangers(before: Session, after: Session) -> list[str]:
    library = after.library
    new = sorted(after.job.in_place - before.job.in_place)
    return [library.setups[setup].title for setup in new if library.setups[setup].danger]
