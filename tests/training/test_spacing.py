"""When an exercise comes back."""

from __future__ import annotations

from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from kickover.training.progress import LEAST_EASE, Schedule, due, schedule

grades = st.lists(st.integers(0, 5), max_size=30)


@given(grades)
def test_what_went_wrong_comes_back_the_next_day(before: list[int]) -> None:
    assert schedule([*before, 1]).days == 1


@given(grades, st.integers(3, 5))
def test_intervals_never_shrink_while_it_goes_well(before: list[int], grade: int) -> None:
    standing = schedule(before)
    after = standing.after(grade)
    assert after.days >= standing.days or standing.passed == 0
    assert after.ease >= LEAST_EASE


@given(grades)
def test_a_better_grade_never_brings_it_back_sooner(before: list[int]) -> None:
    standing = schedule(before)
    days = [standing.after(grade).days for grade in range(6)]
    assert days == sorted(days)


def test_what_was_never_tried_is_due_at_once() -> None:
    assert due(date(2031, 5, 1), Schedule()) == date(2031, 5, 1)
    assert due(date(2031, 5, 1), schedule([5, 5])) == date(2031, 5, 7)
