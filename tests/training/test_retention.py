"""When an exercise comes back: forgetting as a half-life, fitted to the learner."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kickover.training.progress import (
    FIRST_DAYS,
    WORTH_REPEATING,
    learner_factor,
    practice_days,
    retained,
)

START = date(2031, 5, 1)
gaps = st.lists(st.tuples(st.integers(1, 60), st.booleans()), max_size=12)


def days(*steps: tuple[int, bool]) -> tuple[tuple[date, bool], ...]:
    """Days of practice: the days since the one before, and whether it was mastered."""
    on, found = START, []
    for gap, mastered in steps:
        on += timedelta(days=gap)
        found.append((on, mastered))
    return tuple(found)


def test_half_is_left_after_the_half_life() -> None:
    left = retained(days((0, True)))
    assert left.half_life == FIRST_DAYS
    assert left.known(START + timedelta(days=2)) == pytest.approx(0.5)


def test_it_comes_back_when_it_is_worth_repeating() -> None:
    left = retained(days((0, True), (10, True), (20, True)))
    assert left.known(left.due()) == pytest.approx(WORTH_REPEATING, abs=0.02)


def test_three_times_in_an_afternoon_move_nothing() -> None:
    once = practice_days([(START, True)])
    assert practice_days([(START, True), (START, True), (START, False)]) == once


@given(gaps)
def test_what_was_not_mastered_comes_back_the_next_day(before: list[tuple[int, bool]]) -> None:
    left = retained(days(*before, (1, False)))
    assert left.due() == left.last + timedelta(days=1)
    assert left.known(left.last) == 0.0


@given(gaps, st.integers(1, 60))
def test_the_longer_it_lasted_the_longer_it_will(before: list[tuple[int, bool]], gap: int) -> None:
    now = retained(days(*before, (1, True)))
    assert now.after(now.last + timedelta(days=gap), True).half_life >= now.half_life


def test_a_learner_who_forgets_quickly_sees_it_sooner() -> None:
    forgets = {"a": days((0, True), (2, False), (1, True), (2, False)), "b": days((0, True), (1, False))}
    keeps = {"a": days((0, True), (9, True), (60, True)), "b": days((0, True), (12, True))}
    assert learner_factor(forgets) < 0.8 < 1.2 < learner_factor(keeps)
    assert learner_factor({}) == pytest.approx(1.0)
