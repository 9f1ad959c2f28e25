"""Ids are lower-case words joined by hyphens."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kickover.core.ids import is_id


@pytest.mark.parametrize("text", ["a", "plug", "plug-fouled-wet", "m14-plug", "two-stroke-2"])
def test_words_joined_by_hyphens_are_ids(text: str) -> None:
    assert is_id(text)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "-",
        "Plug",
        "plug_out",
        "plug out",
        "-plug",
        "plug-",
        "plug--out",
        "2-stroke",
        "plüg",
        "plug\n",
        "plug.out",
    ],
)
def test_anything_else_is_none(text: str) -> None:
    assert not is_id(text)


@given(st.lists(st.from_regex(r"[a-z][a-z0-9]*", fullmatch=True), min_size=1))
def test_joining_words_by_hyphens_always_makes_an_id(words: list[str]) -> None:
    assert is_id("-".join(words)) == all(word.isascii() for word in words)


@given(st.text())
def test_an_id_is_safe_as_a_file_name(text: str) -> None:
    if is_id(text):
        assert not set(text) & set("/\\.:\0 ")
