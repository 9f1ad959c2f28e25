"""What is to be practised: a lesson of the library, or any complaint on any machine."""

from __future__ import annotations

from collections.abc import Set as AbstractSet
from dataclasses import dataclass

from kickover.core.ids import EventId, ItemId
from kickover.model.library import Lesson, Library, Machine
from kickover.session.session import Session, begin
from kickover.training.hidden_engine import LEVELS, HiddenEngine, Level, draw_engine
from kickover.training.practice import Practice


@dataclass(frozen=True, slots=True)
class Exercise:
    """One exercise. `name` is that under which a learner's results on it are kept and repeated."""

    name: str
    title: str
    goal: str
    level: Level
    machine: Machine
    complaint: EventId
    faults: tuple[EventId, ...]
    given: frozenset[EventId]
    items: frozenset[ItemId] | None
    hints: tuple[str, ...]


def from_lesson(library: Library, lesson: Lesson) -> Exercise:
    """The exercise of a lesson."""
    return Exercise(
        name=lesson.id,
        title=lesson.title,
        goal=lesson.goal,
        level=LEVELS[lesson.level],
        machine=library.machines[lesson.machine],
        complaint=lesson.complaint,
        faults=lesson.faults,
        given=frozenset(lesson.given),
        items=None if lesson.kit is None else library.kits[lesson.kit].items,
        hints=lesson.hints,
    )


def from_complaint(
    library: Library,
    complaint: EventId,
    machine: Machine,
    level: int,
    given: AbstractSet[EventId] = frozenset(),
    items: AbstractSet[ItemId] | None = None,
) -> Exercise:
    """Free practice: any fault behind `complaint`."""
    return Exercise(
        name=f"{complaint}@{machine.id}",
        title=library.complaints[complaint].title,
        goal="",
        level=LEVELS[level],
        machine=machine,
        complaint=complaint,
        faults=(),
        given=frozenset(given),
        items=None if items is None else frozenset(items),
        hints=(),
    )


def set_up(library: Library, exercise: Exercise, seed: int) -> Practice:
    """A drill at its beginning. Raises DrillError when no fault can be hidden as the exercise wants it."""
    session: Session = begin(library, exercise.machine, (exercise.complaint,), exercise.given, exercise.items)
    engine: HiddenEngine = draw_engine(session.model, exercise.level, seed, exercise.faults)
    return Practice(engine, session)
