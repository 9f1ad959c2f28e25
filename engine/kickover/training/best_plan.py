"""The planner at work on a drill's engine: what its way takes, to measure a learner's way against."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, field

from kickover.core.ids import CheckId, RepairId
from kickover.planning.job_state import proof_needs
from kickover.planning.plan import CandidateStep, Plan, Step, StepKind
from kickover.session.session import Session
from kickover.training.hidden_engine import HiddenEngine
from kickover.training.practice import Practice, PracticeStage
from kickover.training.workbench import dangers_of

MOST_STEPS = 80


@dataclass(slots=True)
class Planner:
    """Walks engines by the plan, and remembers what it planned: the same answers lead to the same step."""

    _known: dict[Hashable, Plan] = field(default_factory=dict)

    def walk(self, engine: HiddenEngine, start: Session) -> Practice:
        """The plan followed on `engine` from `start` to its end; it does every safety job in time."""
        practice = Practice(engine, start)
        for _ in range(MOST_STEPS):
            if practice.stage is PracticeStage.PROVE:
                practice = _safely(practice, "").try_it()
            elif practice.stage is not PracticeStage.CHOOSE:
                return practice
            else:
                practice = self._next(practice)
        return practice.give_up()

    def _next(self, practice: Practice) -> Practice:
        step = self.step(practice.session)
        match step.kind:
            case StepKind.CHECK:
                return _safely(practice, step.id).check(step.id)
            case StepKind.REPAIR:
                return _safely(practice, step.id).repair(step.id)
            case StepKind.GIVE_UP:
                return practice.give_up()

    def step(self, session: Session) -> Step:
        """The planned next step of a walk."""
        return self._plan(session).next

    def options(self, session: Session) -> tuple[CandidateStep, ...]:
        """All steps that the plan values, best first."""
        return self._plan(session).options

    def _plan(self, session: Session) -> Plan:
        key = (frozenset(session.evidence), session.job, session.belief.made)
        if key not in self._known:
            self._known[key] = session.plan()
        return self._known[key]


def minutes_of(practice: Practice) -> float:
    """The minutes of a drill; giving up costs what the library says that it does."""
    return practice.session.minutes + (0.0 if practice.cured else give_up_price(practice.session))


def give_up_price(session: Session) -> float:
    """What giving up costs in this walk, in minutes."""
    return session.library.settings.give_up_minutes if session.give_up is None else session.give_up


def _safely(practice: Practice, step: str) -> Practice:
    """The drill with every safety job done that the step asks for; without a step, that the proof does."""
    session = practice.session
    known = session.model.checks.get(CheckId(step)) or session.model.repairs.get(RepairId(step))
    needs = known.needs if known else proof_needs(session.library, session.job, session.complaint)
    for danger in dangers_of(session.library, session.job, needs, ""):
        practice = practice.job(danger.setup)
    return practice
