"""What a walk would do in each of its positions, as the moves of a policy.

The steps are those of the session itself, and so are the chances: this adds nothing of its own but where to
stop. Equal positions (the same answers in any order, the same state of the job) are worked out once.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field

from kickover.core.ids import CheckId, RepairId
from kickover.documents.charts.compile_riding import forbids_riding
from kickover.planning.plan import StepKind
from kickover.planning.policy import PolicyMove, PolicyOutcome
from kickover.session.entries import Answered, Entry, Prepared, Proved, Repaired, Waited
from kickover.session.riding_bans import must_not_ride
from kickover.session.session import Phase, Session, Task

DONE = "done"
GONE = "gone"
STAYS = "stays"
"""The names of outcomes that are not findings."""
MUST_NOT_RIDE = "It must not be ridden as it is."
FOLLOWED = 0.1
"""A rare finding that names its cause is followed to the repair, down to this part of the least share."""
NAMED_CAUSE = 0.25
"""A cause is named when it is at least so likely; below that, a repair is seldom the next step (estimate)."""


@dataclass(frozen=True, slots=True)
class Position:
    """A walk at one moment, and the share of all walks that come to it along this way."""

    session: Session
    share: float


@dataclass(frozen=True, slots=True)
class StepKey:
    """What tells the steps of a chart apart: the phase and id of the walk's task.

    `undo` marks a setup that is put back. `forbids` is what forbids riding after a proof that went well, or
    says that a machine that is given up must not be ridden.
    """

    phase: Phase
    id: str
    undo: bool = False
    forbids: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Known:
    step: StepKey
    minutes: float
    outcomes: tuple[tuple[str, float, Session | None], ...]
    seeks: bool


@dataclass(frozen=True, slots=True)
class Moves:
    """The moves of a walk, for `compile_policy`; `move` cuts where a further check is too rare to print.

    A repair that is the next step is followed to its proof even below `least_share`, down to the share
    `FOLLOWED` of it: a finding that names its cause is worth the few steps that mend it. `tick` is called
    for each position that has to be worked out.
    """

    least_share: float
    tick: Callable[[], None] = lambda: None
    _known: dict[Hashable, _Known] = field(default_factory=dict, repr=False)

    def move(self, position: Position) -> PolicyMove[Position]:
        """What is done in a position, what may come of it, and how likely that is."""
        if position.share < 1.0 and self._leads_nowhere(position):
            return PolicyMove(None, 0.0, ())
        known = self._at(position.session)
        return PolicyMove(known.step, known.minutes, self._outcomes(position), frozenset({GONE}))

    def _outcomes(self, position: Position) -> tuple[PolicyOutcome[Position], ...]:
        return tuple(
            PolicyOutcome(name, chance, None if after is None else Position(after, position.share * chance))
            for name, chance, after in self._at(position.session).outcomes
        )

    def _leads_nowhere(self, position: Position) -> bool:
        """True for what is too rare, and for checks after each of whose findings the chart would end."""
        rare = position.share < self.least_share
        if rare and not self._is_followed(position):
            return True
        if not self._at(position.session).seeks:
            return False
        return rare or all(
            outcome.after is not None and self._leads_nowhere(outcome.after)
            for outcome in self._outcomes(position)
        )

    def _is_followed(self, position: Position) -> bool:
        """True where a rare position is worth working out, since a repair may well be the next step."""
        session = position.session
        if position.share < self.least_share * FOLLOWED:
            return False
        return session.proving is not None or max(session.belief.marginals().values()) >= NAMED_CAUSE

    def _at(self, session: Session) -> _Known:
        key = _sameness(session)
        if key not in self._known:
            self.tick()
            self._known[key] = _work_out(session)
        return self._known[key]


def _sameness(session: Session) -> Hashable:
    """What is equal in positions that go on alike, whatever the order of their answers."""
    return (frozenset(session.evidence), session.belief.made, session.job, session.proving, session.chosen)


def _work_out(session: Session) -> _Known:
    task = session.task()
    step, minutes = step_key(session, task), task.minutes
    match task.phase:
        case Phase.CHECK:
            answers = [
                (finding.id, session.record(Answered(task.id, finding.id)))
                for finding in session.library.checks[CheckId(task.id)].findings
            ]
            findings = tuple((name, after.belief.evidence_probability, after) for name, after in answers)
            return _Known(step, minutes, findings, seeks=True)
        case Phase.PROOF:
            assert session.proving is not None
            gone = session.belief.cured_by(session.proving)
            stays = (STAYS, 1.0 - gone, session.record(Proved(False)))
            return _Known(step, minutes, ((GONE, gone, None), stays), seeks=False)
        case Phase.PREPARE | Phase.REPAIR:
            seeks = task.toward is not None and task.toward.kind is StepKind.CHECK
            return _Known(step, minutes, ((DONE, 1.0, session.record(doing(task))),), seeks)
        case Phase.GIVE_UP | Phase.MENDED | Phase.FOUND | Phase.GIVEN_UP:
            return _Known(step, 0.0, (), seeks=False)


def step_key(session: Session, task: Task) -> StepKey:
    """The step that a task is."""
    undo = task.preparation is not None and task.preparation.undo
    forbids: tuple[str, ...] = ()
    if task.phase is Phase.PROOF:
        forbids = forbids_riding(session)
    elif task.phase is Phase.GIVE_UP and must_not_ride(session):
        forbids = (MUST_NOT_RIDE,)
    return StepKey(task.phase, task.id, undo, forbids)


def doing(task: Task) -> Entry:
    """What is recorded when a preparation or a repair was done."""
    if task.phase is Phase.REPAIR:
        return Repaired(RepairId(task.id))
    assert task.preparation is not None
    if task.preparation.wait_for is not None:
        return Waited(task.preparation.wait_for)
    return Prepared(task.id, task.preparation.undo)
