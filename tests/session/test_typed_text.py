"""What is typed or pasted is made fit to be kept and shown."""

from __future__ import annotations

from unicodedata import category

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kickover.session.interpreting import LONGEST, cleaned, shown
from kickover.ui.picking import not_picked, picked, places

IDS = ["moped", "step-through", "step-ladder"]
TITLES = ["The moped", "A step-through", "A ladder of steps"]


@given(st.text(max_size=3000))
def test_nothing_that_steers_a_terminal_is_left(text: str) -> None:
    kept = cleaned(text)
    assert len(kept) <= LONGEST
    assert not any(category(letter).startswith(("C", "Zl", "Zp")) for letter in kept)
    assert cleaned(kept) == kept


def test_long_lines_are_shown_at_a_glance() -> None:
    assert shown("a" * 100) == f"'{'a' * 37}...'"
    assert shown("short") == "'short'"


@pytest.mark.parametrize(
    ("said", "place"),
    [
        ("1", 0),
        ("moped", 0),
        ("MOPED", 0),
        ("step-t", 1),
        ("ladder", 2),
        ("step", None),
        ("4", None),
        ("", None),
    ],
)
def test_one_choice_is_picked_where_it_is_clear(said: str, place: int | None) -> None:
    assert picked(said, IDS, TITLES) == place


def test_what_is_not_clear_gets_the_near_one_or_the_numbers() -> None:
    assert not_picked("moepd", IDS, TITLES) == "'moepd' is none of them; did you mean moped?"
    assert not_picked("zzz", IDS, TITLES) == "'zzz' is none of them; type a number from 1 to 3."
    assert not_picked("step", IDS, TITLES).startswith("'step' fits several")
    assert not_picked("", IDS, TITLES) == "Type a number from 1 to 3."


@pytest.mark.parametrize(
    ("said", "found"),
    [("1 3-5", (0, 2, 3, 4)), ("2,2", (1,)), ("", ()), ("0", None), ("6", None), ("3-1", None), ("x", None)],
)
def test_several_places_are_picked_by_numbers_and_spans(said: str, found: tuple[int, ...] | None) -> None:
    assert places(said, 5) == found
