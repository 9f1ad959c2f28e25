"""What was prepared for is done next, so that nothing is taken apart for nothing."""

from __future__ import annotations

from itertools import pairwise

import pytest

from kickover.core.ids import KitId
from kickover.model.library import Library
from kickover.session.commitment import CLEARLY_BETTER, held_to
from kickover.session.entries import Cannot, Chose, Noted, Prepared, Skipped, Waited
from kickover.session.session import Phase, Session, Task
from session.chance_rider import engine, honest_walk, started

WALKS = (
    ("points-moped", "no-power", 0),
    ("points-moped", "no-power", 8),
    ("four-stroke-49", "will-not-idle", 6),
    ("four-stroke-49", "will-not-idle", 19),
    ("clip-on-two-stroke", "bogs", 1),
    ("oil-pump-scooter", "no-power", 3),
)
"""Walks in which a preparation was left for another step before the walk held to it."""


def left(tasks: list[Task]) -> list[tuple[str, str]]:
    """Preparations after which something else was asked than what they were made for."""
    return [
        (one.toward.id, after.toward.id)
        for one, after in pairwise(tasks)
        if one.phase is Phase.PREPARE and one.toward and after.toward and one.toward.id != after.toward.id
    ]


@pytest.mark.parametrize(("machine", "complaint", "number"), WALKS)
def test_no_preparation_is_left_for_another_step(
    shipped: Library, machine: str, complaint: str, number: int
) -> None:
    kit = shipped.kits[KitId("pouch")].items if number % 2 else None
    walk = started(shipped, machine, complaint, kit)
    tasks = [task for task, _ in honest_walk(walk, engine(walk, 7, number))]
    assert left(tasks) == []


@pytest.fixture(scope="module")
def readied(shipped: Library) -> Session:
    """A walk just after its first preparation."""
    walk = started(shipped, "clip-on-two-stroke", "bogs")
    for task, after in honest_walk(walk, engine(walk, 7, 1)):
        if task.phase is Phase.PREPARE and task.toward is not None:
            return after
    raise AssertionError("nothing was prepared")


def test_a_note_does_not_end_it_and_going_back_and_forth_keeps_it(readied: Session) -> None:
    assert readied.readied() != ""
    assert readied.record(Noted("cold hands")).readied() == readied.readied()
    assert readied.record(Noted("cold hands")).back().task() == readied.task()


def test_what_the_rider_does_else_ends_it(readied: Session) -> None:
    step = readied.readied()
    assert readied.record(Skipped(step)).readied() == ""
    assert readied.record(Cannot(step)).readied() == ""
    assert readied.record(Waited("engine-cold", told=True)).readied() == ""


def test_a_setup_that_was_not_asked_for_readies_nothing(readied: Session) -> None:
    assert readied.record(Prepared("wheel-lifted", False)).readied() == ""


def test_a_step_that_the_rider_picked_goes_before_what_was_prepared(readied: Session) -> None:
    other = next(step.id for step in readied.plan().steps if step.id not in {readied.readied(), "give-up"})
    after = readied.record(Chose(other)).task()
    assert other in {after.id, after.toward.id if after.toward else ""}


def test_another_step_comes_first_only_when_it_is_clearly_better(readied: Session) -> None:
    whole = readied.plan()
    for option in whole.options[1:]:
        first = held_to(whole, option.id, readied.model, readied.job).options[0]
        best = whole.options[0]
        near = option.expected - best.expected <= CLEARLY_BETTER * best.expected
        assert first.id == (option.id if near else best.id)
