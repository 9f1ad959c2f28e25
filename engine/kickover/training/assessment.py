"""The review of a drill: each choice by what it was worth when it was made, and what was better.

A choice is worth what the planner expects of it on the same model and the same answers; how it turned out is
luck and told apart. Expected minutes, minutes given away and luck add up to the minutes taken.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from kickover.core.ids import CheckId, RepairId
from kickover.inference.compiled_model import EngineState
from kickover.planning.explanation import Prospect, prospects
from kickover.planning.job_state import Job, step_cost
from kickover.planning.plan import Step, StepKind
from kickover.session.session import Session
from kickover.training.best_plan import Planner, give_up_price, minutes_of
from kickover.training.practice import Deed, Practice, WorkChoice
from kickover.training.workbench import proof_cost

NEAR_SHARE = 0.1
NEAR_MINUTES = 2.0
"""A choice within this share or these minutes of the best counts as good."""
MASTERED_SHARE = 0.25
"""A drill is mastered when its choices gave away less than this share of what was expected."""


class ChoiceVerdict(StrEnum):
    """How good a choice was."""

    GOOD = "good"
    SLOWER = "slower"
    NEEDLESS = "needless"
    DANGEROUS = "dangerous"
    DONE = "done"


@dataclass(frozen=True, slots=True)
class Reviewed:
    """One choice by what it was worth when it was made, and by how it turned out, both in minutes.

    `given_away` is the planner's value of the choice less that of its best step, at that moment; `luck` what
    came of it beyond that, good luck below 0. `could` is what it could have told, `better` what the planner's
    step could have told, when that is a check.
    """

    move: WorkChoice
    verdict: ChoiceVerdict
    given_away: float = 0.0
    luck: float = 0.0
    could: tuple[Prospect, ...] = ()
    best: Step | None = None
    better: tuple[Prospect, ...] = ()


@dataclass(frozen=True, slots=True)
class Review:
    """The whole drill looked back on. Minutes count giving up at its price.

    `expected` is what the best plan expected at the start: with what was given away and the luck of all
    choices it comes to `minutes`, exactly. `straight` is the quickest that anybody could have been who knew
    the fault.
    """

    practice: Practice
    choices: tuple[Reviewed, ...]
    minutes: float
    expected: float
    planned: float
    planned_moves: tuple[WorkChoice, ...]
    straight: float

    @property
    def given_away(self) -> float:
        """The minutes that all choices gave away."""
        return sum(choice.given_away for choice in self.choices)

    @property
    def luck(self) -> float:
        """The minutes by which things turned out worse than they could be expected to."""
        return sum(choice.luck for choice in self.choices)

    @property
    def mastered(self) -> bool:
        """Tell whether the drill was done well: cured, safely, by good choices, no cause named wrongly."""
        clean = self.practice.cured and not self.practice.dangers and not self.practice.hints
        near = self.given_away <= max(NEAR_MINUTES, MASTERED_SHARE * self.expected)
        return clean and near and not self.practice.wrongly_named


def review(practice: Practice, planner: Planner) -> Review:
    """Look back on a finished drill."""
    start = practice.moves[0].before if practice.moves else practice.session
    planned = planner.walk(practice.engine, start)
    return Review(
        practice=practice,
        choices=tuple(_reviewed(move, planner) for move in practice.moves),
        minutes=minutes_of(practice),
        expected=planner.step(start).expected,
        planned=minutes_of(planned),
        planned_moves=planned.moves,
        straight=_straight(practice, start),
    )


def _reviewed(move: WorkChoice, planner: Planner) -> Reviewed:
    before, after = _value(move.before, planner), _value(move.after, planner)
    worth = before
    if move.deed in {Deed.CHECK, Deed.REPAIR} and not move.dangers:
        worth = _worth(move, planner, before)
    elif move.deed is Deed.STOP:
        worth = give_up_price(move.before)
        after = worth
    given_away = max(0.0, worth - before)
    luck = move.minutes + after - before - given_away
    if move.deed not in {Deed.CHECK, Deed.REPAIR}:
        verdict = ChoiceVerdict.DANGEROUS if move.dangers else ChoiceVerdict.DONE
        return Reviewed(move, verdict, given_away, luck)
    best = planner.step(move.before)
    return Reviewed(
        move,
        _judged(move, best, given_away, planner),
        given_away,
        luck,
        _prospects(move.before, move.id) if move.deed is Deed.CHECK else (),
        best,
        _prospects(move.before, best.id) if best.kind is StepKind.CHECK else (),
    )


def _value(session: Session, planner: Planner) -> float:
    """The least expected minutes from here: the proof that is due first, then the plan's."""
    if session.mended is not None:
        return 0.0
    if session.proving is None:
        return planner.step(session).expected
    proof = proof_cost(session, session.job)
    if proof is None:
        return planner.step(session).expected
    return proof.minutes + _after_failing(session, session.proving, proof.after, planner)


def _after_failing(session: Session, repair: RepairId, job: Job, planner: Planner) -> float:
    """The expected minutes that a repair leaves, weighed with the chance that it did not help."""
    stays = 1.0 - session.belief.cured_by(repair)
    if stays <= 0.0:
        return 0.0
    failed = replace(session, belief=session.belief.after_repair(repair), job=job, proving=None)
    return stays * planner.step(failed).expected


def _worth(move: WorkChoice, planner: Planner, before: float) -> float:
    """The expected minutes when this choice is made: by the plan's own values, else worked out for it."""
    if planner.step(move.before).id == move.id:
        return before
    valued = next((option.expected for option in planner.options(move.before) if option.id == move.id), None)
    if valued is not None:
        return valued
    if move.deed is Deed.CHECK:  # it can tell nothing that matters: all is as before
        return move.minutes + before
    session = move.before
    taken = step_cost(session.library, session.job, session.model.repairs[RepairId(move.id)].needs)
    proof = taken and proof_cost(session, taken.after)
    if taken is None or proof is None:
        return move.minutes + before
    return taken.minutes + proof.minutes + _after_failing(session, RepairId(move.id), proof.after, planner)


def _judged(move: WorkChoice, best: Step, given_away: float, planner: Planner) -> ChoiceVerdict:
    if move.dangers:
        return ChoiceVerdict.DANGEROUS
    if move.deed is Deed.REPAIR and move.before.belief.cured_by(RepairId(move.id)) <= 0.0:
        return ChoiceVerdict.NEEDLESS
    if given_away <= max(NEAR_MINUTES, NEAR_SHARE * best.expected):
        return ChoiceVerdict.GOOD
    offered = best.id == move.id or any(option.id == move.id for option in planner.options(move.before))
    if move.deed is Deed.CHECK and not offered:
        return ChoiceVerdict.NEEDLESS
    return ChoiceVerdict.SLOWER


def _prospects(session: Session, id_: str) -> tuple[Prospect, ...]:
    check = session.model.checks[CheckId(id_)]
    taken = step_cost(session.library, session.job, check.needs)
    state = EngineState(taken.after.houses if taken else session.job.houses, session.belief.made)
    return prospects(session.belief, check.id, state, 1)


def _straight(practice: Practice, start: Session) -> float:
    """The minutes of the quickest repairs for the hidden faults, one after the other, with one proof each."""
    library, job, total = start.library, start.job, 0.0
    for cause in practice.engine.causes:
        ways = []
        for repair in start.model.repairs.values():
            taken = step_cost(library, job, repair.needs) if cause in repair.cures else None
            proof = taken and proof_cost(start, taken.after)
            if taken and proof:
                ways.append((taken.minutes + proof.minutes, repair.id, proof.after))
        if not ways:
            return start.library.settings.give_up_minutes
        quickest = min(ways, key=lambda way: way[:2])
        total, job = total + quickest[0], quickest[2]
    return total
