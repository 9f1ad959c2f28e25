"""What learners did: results, what is due for each, and the class list.

Values and sums only; where results are kept is the business of `results`.

What was mastered fades exponentially: after t days the chance that it is still known is 2^(-t / half-life)
(forgetting curve: Ebbinghaus 1885; as a half-life: Settles and Meeder 2016). A day on which it was mastered
again adds the days that it had lasted to the half-life; a day on which it was not halves it. How quickly one
learner forgets is one factor on all half-lives, fitted to this learner's own results.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import exp, log, log2

from kickover.model.library import Lesson
from kickover.training.assessment import Review
from kickover.training.exercise import Exercise

FIRST_DAYS = 2.0
"""The half-life after the first day on which an exercise was mastered."""
LEAST_DAYS, MOST_DAYS = 1.0, 365.0
WORTH_REPEATING = 0.7
"""An exercise comes back once the chance that it is still known has fallen to this."""
_FACTORS = tuple(2.0 ** (step / 4) for step in range(-8, 9))

PracticeDay = tuple[date, bool]
"""A day of practice, and whether the exercise was mastered at the first try of that day."""


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


@dataclass(frozen=True, slots=True)
class Retention:
    """What is left of one exercise: its half-life in days before the learner's factor, and its last day.

    `mastered` tells whether it was on that day.
    """

    half_life: float
    last: date
    mastered: bool

    def after(self, on: date, mastered: bool) -> Retention:
        """The retention after one more day of practice; a second try on one day moves nothing."""
        lasted = (on - self.last).days
        if lasted <= 0:
            return self
        if not mastered:
            return Retention(max(LEAST_DAYS, self.half_life / 2), on, False)
        longer = self.half_life + lasted if self.mastered else max(FIRST_DAYS, self.half_life)
        return Retention(min(MOST_DAYS, longer), on, True)

    def known(self, on: date, factor: float = 1.0) -> float:
        """The chance that it is still known on a day; 0 for what was not mastered last time."""
        if not self.mastered:
            return 0.0
        return float(2.0 ** (-max(0, (on - self.last).days) / (self.half_life * factor)))

    def due(self, factor: float = 1.0) -> date:
        """The day on which it comes back: the next one at the least."""
        days = self.half_life * factor * log2(1 / WORTH_REPEATING) if self.mastered else 0.0
        return self.last + timedelta(days=max(1, round(days)))


def practice_days(tries: Iterable[PracticeDay]) -> tuple[PracticeDay, ...]:
    """The first try of each day, in the order of the days; equal days in the order given."""
    first: dict[date, bool] = {}
    for on, mastered in tries:
        first.setdefault(on, mastered)
    return tuple(sorted(first.items()))


def retained(days: Sequence[PracticeDay]) -> Retention:
    """The retention after all days of practice, of which there is at least one."""
    on, mastered = days[0]
    now = Retention(FIRST_DAYS if mastered else LEAST_DAYS, on, mastered)
    for on, mastered in days[1:]:
        now = now.after(on, mastered)
    return now


def learner_factor(histories: Mapping[str, Sequence[PracticeDay]]) -> float:
    """How long this learner keeps what was mastered, against the model: 0.25 to 4, near 1 with few results.

    The mean of log factor under its posterior: log-normal prior of one octave around 1, each repeat of what
    was mastered a trial whose chance is the curve's.
    """
    weights = [exp(-(log2(factor) ** 2) / 2 + _log_likelihood(histories, factor)) for factor in _FACTORS]
    mean = sum(weight * log2(factor) for weight, factor in zip(weights, _FACTORS, strict=True)) / sum(weights)
    return float(2.0**mean)


def _log_likelihood(histories: Mapping[str, Sequence[PracticeDay]], factor: float) -> float:
    total = 0.0
    for days in histories.values():
        for number in range(1, len(days)):
            before = retained(days[:number])
            on, mastered = days[number]
            if before.mastered:
                chance = min(0.999, max(0.001, before.known(on, factor)))
                total += log(chance if mastered else 1 - chance)
    return total
