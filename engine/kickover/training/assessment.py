"""The review of a drill: its minutes beside the plan's, and each choice with what would have been better."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from kickover.core.ids import CheckId, EventId, RepairId
from kickover.inference.compiled_model import EngineState
from kickover.planning.explanation import Prospect, prospects
from kickover.planning.job_state import proof_needs, step_cost
from kickover.planning.plan import Step, StepKind
from kickover.session.session import Session
from kickover.training.best_plan import Planner, minutes_of
from kickover.training.hidden_engine import draw_engine
from kickover.training.practice import Deed, Practice, WorkChoice

OTHER_ENGINES = 20
"""On how many other engines at most the planner is walked for its mean."""
MOST_PLANS = 100
"""No further engine is begun once so many steps were planned, so that nobody waits long for the review."""
NEAR_SHARE = 0.1
NEAR_MINUTES = 2.0
"""A choice within this share or these minutes of the best counts as good."""


class ChoiceVerdict(StrEnum):
    """How good a choice was."""

    GOOD = "good"
    SLOWER = "slower"
    NEEDLESS = "needless"
    DANGEROUS = "dangerous"
    DONE = "done"


@dataclass(frozen=True, slots=True)
class Reviewed:
    """One choice: what it could have told, the planner's step at that moment, and the minutes it gave away.

    `better` is what the planner's step could have told, when that is a check.
    """

    move: WorkChoice
    verdict: ChoiceVerdict
    lost: float = 0.0
    could: tuple[Prospect, ...] = ()
    best: Step | None = None
    better: tuple[Prospect, ...] = ()


@dataclass(frozen=True, slots=True)
class Review:
    """The whole drill looked back on. Minutes count giving up at its price.

    `straight` is the quickest that anybody could have been who knew the fault; `mean` that of the planner
    over `engines` engines drawn in the same way.
    """

    practice: Practice
    choices: tuple[Reviewed, ...]
    minutes: float
    planned: float
    planned_moves: tuple[WorkChoice, ...]
    mean: float
    engines: int
    straight: float

    @property
    def grade(self) -> int:
        """The drill as a grade from 0 to 5, for the spacing of repeats.

        5 as quick as the plan, 4 within half as much again, 3 cured but slow, with hints, or without knowing
        the cause, 2 cured after a cause wrongly named, 1 with a dangerous choice, 0 not cured.
        """
        if not self.practice.cured:
            return 0
        if self.practice.dangers:
            return 1
        if [one for one in self.practice.wrongly_named if one != self.practice.named[-1]]:
            return 2
        if (
            self.practice.wrongly_named
            or self.practice.hints
            or self.minutes > 1.5 * self.planned + NEAR_MINUTES
        ):
            return 3
        return 5 if self.minutes <= 1.1 * self.planned + NEAR_MINUTES else 4


def review(
    practice: Practice, faults: tuple[EventId, ...], planner: Planner, engines: int = OTHER_ENGINES
) -> Review:
    """Look back on a finished drill whose engine was drawn from `faults`."""
    engine, start = practice.engine, _start_of(practice)
    planned = planner.walk(engine, start)
    others: list[float] = []
    while len(others) < engines and (not others or planner.planned < MOST_PLANS):
        other = draw_engine(engine.model, engine.level, _other(engine.seed, len(others)), faults)
        others.append(minutes_of(planner.walk(other, start)))
    return Review(
        practice=practice,
        choices=tuple(_reviewed(move, planner) for move in practice.moves),
        minutes=minutes_of(practice),
        planned=minutes_of(planned),
        planned_moves=planned.moves,
        mean=sum(others) / len(others) if others else minutes_of(planned),
        engines=len(others),
        straight=_straight(practice, start),
    )


def _other(seed: int, number: int) -> int:
    return seed * 1_000_003 + number + 1


def _start_of(practice: Practice) -> Session:
    return practice.moves[0].before if practice.moves else practice.session


def _reviewed(move: WorkChoice, planner: Planner) -> Reviewed:
    if move.deed not in {Deed.CHECK, Deed.REPAIR}:
        return Reviewed(move, ChoiceVerdict.DANGEROUS if move.dangers else ChoiceVerdict.DONE)
    session = move.before
    best = planner.step(session)
    verdict, lost = _judged(move, best, planner)
    return Reviewed(
        move,
        verdict,
        lost,
        _prospects(session, move.id) if move.deed is Deed.CHECK else (),
        best,
        _prospects(session, best.id) if best.kind is StepKind.CHECK else (),
    )


def _judged(move: WorkChoice, best: Step, planner: Planner) -> tuple[ChoiceVerdict, float]:
    if move.dangers:
        return ChoiceVerdict.DANGEROUS, 0.0
    if best.id == move.id:
        return ChoiceVerdict.GOOD, 0.0
    valued = next((option.expected for option in move.before.plan().options if option.id == move.id), None)
    if valued is None and move.deed is Deed.REPAIR:
        valued = _value_of_repair(move.before, move, planner)
    if valued is None:
        return ChoiceVerdict.NEEDLESS, move.minutes
    lost = max(0.0, valued - best.expected)
    near = lost <= max(NEAR_MINUTES, NEAR_SHARE * best.expected)
    return (ChoiceVerdict.GOOD if near else ChoiceVerdict.SLOWER), lost


def _prospects(session: Session, id_: str) -> tuple[Prospect, ...]:
    check = session.model.checks[CheckId(id_)]
    taken = step_cost(session.library, session.job, check.needs)
    state = EngineState(taken.after.houses if taken else session.job.houses, session.belief.cured)
    return prospects(session.belief, check.id, state, 1)


def _value_of_repair(session: Session, move: WorkChoice, planner: Planner) -> float | None:
    """The expected minutes when this repair is made now: its own and, if it does not help, the plan's."""
    repair = session.model.repairs[RepairId(move.id)]
    helps = session.belief.cured_by(repair.id)
    if helps <= 0.0:
        return None
    taken = step_cost(session.library, session.job, repair.needs)
    proof = taken and step_cost(
        session.library, taken.after, proof_needs(session.library, taken.after, session.complaint)
    )
    if taken is None or proof is None:
        return None
    failed = replace(session, belief=session.belief.after_repair(repair.id), job=proof.after)
    return taken.minutes + proof.minutes + (1.0 - helps) * planner.step(failed).expected


def _straight(practice: Practice, start: Session) -> float:
    """The minutes of the quickest repairs for the hidden faults, one after the other, with one proof each."""
    library, job, total = start.library, start.job, 0.0
    for cause in practice.engine.causes:
        ways = []
        for repair in start.model.repairs.values():
            taken = step_cost(library, job, repair.needs) if cause in repair.cures else None
            proof = taken and step_cost(
                library, taken.after, proof_needs(library, taken.after, start.complaint)
            )
            if taken and proof:
                ways.append((taken.minutes + proof.minutes, repair.id, proof.after))
        if not ways:
            return start.library.settings.give_up_minutes
        quickest = min(ways, key=lambda way: way[:2])
        total, job = total + quickest[0], quickest[2]
    return total
