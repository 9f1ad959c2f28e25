"""What learners did: results, what is due for each, and the class list.

Values and sums only; where results are kept is the business of `record`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

from kickover.model.library import Lesson
from kickover.training.assessment import Review
from kickover.training.exercise import Exercise


@dataclass(frozen=True, slots=True)
class DrillResult:
    """One finished drill of a learner, on the day `on` (ISO 8601); `faults` were hidden, `named` named."""

    on: str
    learner: str
    card: str
    complaint: str
    machine: str
    level: int
    seed: int
    faults: tuple[str, ...]
    named: tuple[str, ...]
    cured: bool
    grade: int
    minutes: float
    planned: float
    mean: float
    dangers: tuple[str, ...]
    hints: int
    moves: int
    version: str


@dataclass(frozen=True, slots=True)
class Standing:
    """How a learner stands with one exercise: tries, the last grade, and when it comes back."""

    card: str
    tries: int
    last: date
    grade: int
    due: date


@dataclass(frozen=True, slots=True)
class ClassRow:
    """One line of the class list. `ratio` is the learner's minutes over the plan's, over all drills."""

    learner: str
    drills: int
    cured: int
    ratio: float
    dangers: int
    lessons: int
    due: int
    last: date


def result_of(looked: Review, exercise: Exercise, learner: str, today: date) -> DrillResult:
    """The result of a reviewed drill."""
    practice = looked.practice
    return DrillResult(
        on=today.isoformat(),
        learner=learner,
        card=exercise.card,
        complaint=exercise.complaint,
        machine=exercise.machine.id,
        level=exercise.level.number,
        seed=practice.engine.seed,
        faults=practice.engine.causes,
        named=practice.named,
        cured=practice.cured,
        grade=looked.grade,
        minutes=round(looked.minutes, 2),
        planned=round(looked.planned, 2),
        mean=round(looked.mean, 2),
        dangers=tuple(danger.setup for danger in practice.dangers),
        hints=practice.hints,
        moves=len(practice.moves),
        version=practice.session.library.version,
    )


def standings(results: Iterable[DrillResult]) -> tuple[Standing, ...]:
    """How one learner stands with each exercise, what comes back first at the top."""
    by_card: dict[str, list[DrillResult]] = {}
    for result in results:
        by_card.setdefault(result.card, []).append(result)
    found = []
    for card, tries in by_card.items():
        tries.sort(key=lambda try_: try_.on)
        last = date.fromisoformat(tries[-1].on)
        back = due(last, schedule(try_.grade for try_ in tries))
        found.append(Standing(card, len(tries), last, tries[-1].grade, back))
    return tuple(sorted(found, key=lambda one: (one.due, one.card)))


def next_card(results: Iterable[DrillResult], lessons: Iterable[Lesson], today: date) -> str:
    """What a learner does next: what is due, else the easiest lesson not done yet, else what is due first.

    Only lessons of this library count. Empty when there are none.
    """
    levels = {str(lesson.id): lesson.level for lesson in lessons}
    known = [standing for standing in standings(results) if standing.card in levels]
    if known and known[0].due <= today:
        return known[0].card
    tried = {one.card for one in known}
    new = [card for card in sorted(levels, key=lambda card: levels[card]) if card not in tried]
    if new:
        return new[0]
    return known[0].card if known else ""


def class_list(results: Sequence[DrillResult], today: date) -> tuple[ClassRow, ...]:
    """One row a learner, by name."""
    rows = []
    for learner in sorted({result.learner for result in results}, key=str.casefold):
        own = [result for result in results if result.learner == learner]
        standing = standings(own)
        planned = sum(one.planned for one in own)
        rows.append(
            ClassRow(
                learner=learner,
                drills=len(own),
                cured=sum(one.cured for one in own),
                ratio=sum(one.minutes for one in own) / planned if planned else 0.0,
                dangers=sum(len(one.dangers) for one in own),
                lessons=sum(one.grade >= PASSED for one in standing),
                due=sum(one.due <= today for one in standing),
                last=max(date.fromisoformat(one.on) for one in own),
            )
        )
    return tuple(rows)


FIRST_DAYS = 1
SECOND_DAYS = 6
START_EASE = 2.5
LEAST_EASE = 1.3
PASSED = 3


@dataclass(frozen=True, slots=True)
class Schedule:
    """Where an exercise stands: times passed in a row, the days until it comes back, and its ease factor."""

    passed: int = 0
    days: int = 0
    ease: float = START_EASE

    def after(self, grade: int) -> Schedule:
        """The schedule after one more try with a grade from 0 to 5."""
        if grade < PASSED:
            return Schedule(0, FIRST_DAYS, self.ease)
        ease = max(LEAST_EASE, self.ease + 0.1 - (5 - grade) * (0.08 + (5 - grade) * 0.02))
        if self.passed == 0:
            days = FIRST_DAYS
        elif self.passed == 1:
            days = SECOND_DAYS
        else:
            days = ceil(self.days * ease)
        return Schedule(self.passed + 1, days, ease)


def schedule(grades: Iterable[int]) -> Schedule:
    """The schedule after grades in the order in which they were earned."""
    now = Schedule()
    for grade in grades:
        now = now.after(grade)
    return now


def due(last: date, standing: Schedule) -> date:
    """The day on which an exercise comes back, having been tried last on `last`."""
    return last + timedelta(days=standing.days)
