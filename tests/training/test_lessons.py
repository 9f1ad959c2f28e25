"""The shipped lessons: enough of them, over every tree and level, and each can be drilled."""

from __future__ import annotations

import pytest

from kickover.core.ids import LessonId
from kickover.model.graph import event_graph
from kickover.training.best_plan import Planner
from kickover.training.exercise import from_lesson, set_up
from kickover.training.hidden_engine import LEVELS, draw_engine
from worlds.shipped_library import shipped

NAMES = tuple(shipped().lessons)


def test_there_are_at_least_twelve_on_every_level_and_every_machine_is_invented() -> None:
    assert len(NAMES) >= 12
    assert {lesson.level for lesson in shipped().lessons.values()} == set(LEVELS)
    assert all(shipped().machines[lesson.machine].invented for lesson in shipped().lessons.values())


def test_every_tree_has_at_least_three_lessons() -> None:
    structure = event_graph(shipped())
    for tree in shipped().trees.values():
        below = structure.below(tree.tops)
        about = [id_ for id_, lesson in shipped().lessons.items() if not below.isdisjoint(lesson.faults)]
        assert len(about) >= 3, tree.id


@pytest.mark.parametrize("name", NAMES)
def test_every_fault_of_a_lesson_can_be_hidden(name: LessonId) -> None:
    exercise = from_lesson(shipped(), shipped().lessons[name])
    model = set_up(shipped(), exercise, 0).session.model
    drawn = {
        cause
        for seed in range(400)
        for cause in draw_engine(model, exercise.level, seed, exercise.faults).causes
    }
    assert drawn <= set(exercise.faults)
    missing = set(exercise.faults) - drawn
    for fault in missing:
        one = LEVELS[1]
        assert draw_engine(model, one, 0, [fault]).causes == (fault,), f"{fault} never shows in {name}"


@pytest.mark.parametrize(
    ("name", "seed"),
    [("no-spark-split-it", 3), ("five-free-looks", 3), ("hanging-revs", 3), ("two-at-once", 0)],
)
def test_the_plan_cures_a_lesson_without_a_danger(name: str, seed: int) -> None:
    exercise = from_lesson(shipped(), shipped().lessons[LessonId(name)])
    begun = set_up(shipped(), exercise, seed)
    done = Planner().walk(begun.engine, begun.session)
    assert done.cured
    assert done.dangers == ()
