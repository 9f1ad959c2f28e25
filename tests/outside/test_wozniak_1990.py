"""The spacing of repeats against P. A. Woźniak, "Optimization of learning" (1990), and a package of its rule.

The changes of the ease factor by grade are those of the thesis's formula (from memory). The package is `sm-2`
0.3.0 from the Python Package Index; it asks a second time on the same day after a grade below 4, which ours
does not, so sequences keep to grades for which both say the same.
"""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sm_2 import Card, Scheduler  # type: ignore[import-untyped]

from kickover.training.progress import Schedule, schedule


@pytest.mark.parametrize(("grade", "change"), [(5, 0.10), (4, 0.00), (3, -0.14)])
def test_the_ease_changes_with_the_grade(grade: int, change: float) -> None:
    assert Schedule().after(grade).ease == pytest.approx(2.5 + change)


def test_the_first_intervals_are_1_and_6_days_and_then_grow_by_the_ease() -> None:
    assert [schedule([4] * tries).days for tries in range(1, 6)] == [1, 6, 15, 38, 95]


@given(st.lists(st.sampled_from([4, 5]), min_size=1, max_size=12))
def test_repeats_that_pass_are_spaced_as_the_package_spaces_them(grades: list[int]) -> None:
    card, own = Card(due=datetime(2031, 1, 1, tzinfo=UTC)), Schedule()
    for grade in grades:
        card, _ = Scheduler.review_card(card, grade, card.due)
        own = own.after(grade)
        assert (own.passed, own.days) == (card.n, card.I)
        assert own.ease == pytest.approx(card.EF)


@given(st.lists(st.sampled_from([4, 5]), min_size=1, max_size=8), st.sampled_from([0, 1, 2]))
def test_a_failure_starts_the_intervals_anew_and_keeps_the_ease_as_the_package_does(
    grades: list[int], failing: int
) -> None:
    card, own = Card(due=datetime(2031, 1, 1, tzinfo=UTC)), schedule([*grades, failing])
    for grade in [*grades, failing]:
        card, _ = Scheduler.review_card(card, grade, card.due)
    assert own.passed == card.n == 0
    assert own.ease == pytest.approx(card.EF)
