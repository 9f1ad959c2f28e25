"""What learners did: results, what is due for each, and the class list.

Values and sums only; where results are kept is the business of `results`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from kickover.model.library import Lesson
from kickover.training.assessment import Review
from kickover.training.exercise import Exercise
from kickover.training.retention import WORTH_REPEATING, learner_factor, practice_days, retained


@dataclass(frozen=True, slots=True)
class DrillResult:
    """One finished drill of a learner, on the day `on` (ISO 8601); `faults` were hidden, `named` named.

    `expected` minutes is what the best plan expected at the start, `given_away` what the choices cost beyond
    it when they were made; the rest of `minutes` is how things turned out.
    """

    on: str
    learner: str
    exercise: str
    complaint: str
    machine: str
    level: int
    seed: int
    faults: tuple[str, ...]
    named: tuple[str, ...]
    cured: bool
    mastered: bool
    minutes: float
    expected: float
    given_away: float
    dangers: tuple[str, ...]
    hints: int
    moves: int
    version: str


@dataclass(frozen=True, slots=True)
class Standing:
    """How a learner stands with one exercise, and the chance that it is still known."""

    exercise: str
    tries: int
    last: date
    mastered: bool
    known: float
    due: date


@dataclass(frozen=True, slots=True)
class ClassRow:
    """One line of the class list: `given_away` minutes as the mean of all drills, exercises `known`."""

    learner: str
    drills: int
    cured: int
    given_away: float
    dangers: int
    known: int
    due: int
    last: date


def result_of(looked: Review, exercise: Exercise, learner: str, today: date) -> DrillResult:
    """The result of a reviewed drill."""
    practice = looked.practice
    return DrillResult(
        on=today.isoformat(),
        learner=learner,
        exercise=exercise.name,
        complaint=exercise.complaint,
        machine=exercise.machine.id,
        level=exercise.level.number,
        seed=practice.engine.seed,
        faults=practice.engine.causes,
        named=practice.named,
        cured=practice.cured,
        mastered=looked.mastered,
        minutes=round(looked.minutes, 2),
        expected=round(looked.expected, 2),
        given_away=round(looked.given_away, 2),
        dangers=tuple(danger.setup for danger in practice.dangers),
        hints=practice.hints,
        moves=len(practice.moves),
        version=practice.session.library.version,
    )


def standings(results: Iterable[DrillResult], today: date) -> tuple[Standing, ...]:
    """How one learner stands with each exercise, what comes back first at the top."""
    tries: dict[str, list[tuple[date, bool]]] = {}
    for result in results:
        tries.setdefault(result.exercise, []).append((date.fromisoformat(result.on), result.mastered))
    histories = {exercise: practice_days(days) for exercise, days in tries.items()}
    factor = learner_factor(histories)
    found = []
    for exercise, days in histories.items():
        left = retained(days)
        known = left.known(today, factor)
        found.append(
            Standing(exercise, len(tries[exercise]), left.last, left.mastered, known, left.due(factor))
        )
    return tuple(sorted(found, key=lambda standing: (standing.due, standing.exercise)))


def next_exercise(results: Iterable[DrillResult], lessons: Iterable[Lesson], today: date) -> str:
    """What a learner does next: what is due, else the easiest lesson not done yet, else what is due first.

    Only lessons of this library count. Empty when there are none.
    """
    levels = {str(lesson.id): lesson.level for lesson in lessons}
    known = [standing for standing in standings(results, today) if standing.exercise in levels]
    if known and known[0].due <= today:
        return known[0].exercise
    tried = {standing.exercise for standing in known}
    new = [name for name in sorted(levels, key=lambda name: levels[name]) if name not in tried]
    if new:
        return new[0]
    return known[0].exercise if known else ""


def class_list(results: Sequence[DrillResult], today: date) -> tuple[ClassRow, ...]:
    """One row a learner, by name."""
    rows = []
    for learner in sorted({result.learner for result in results}, key=str.casefold):
        own = [result for result in results if result.learner == learner]
        standing = standings(own, today)
        rows.append(
            ClassRow(
                learner=learner,
                drills=len(own),
                cured=sum(result.cured for result in own),
                given_away=sum(result.given_away for result in own) / len(own),
                dangers=sum(len(result.dangers) for result in own),
                known=sum(exercise.known >= WORTH_REPEATING for exercise in standing),
                due=sum(exercise.due <= today for exercise in standing),
                last=max(date.fromisoformat(result.on) for result in own),
            )
        )
    return tuple(rows)
