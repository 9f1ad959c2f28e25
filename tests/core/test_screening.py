"""What may be sent to a screen or a page, by the categories of Unicode (Unicode Standard, 4.5)."""

from __future__ import annotations

import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from kickover.core.screening import screened, screened_data, seen, unsent


@given(st.text())
def test_no_control_surrogate_or_format_character_passes_but_the_line_feed(text: str) -> None:
    passed = {unicodedata.category(one) for one in screened(text) if one != "\n"}
    assert not passed & {"Cc", "Cs", "Zl", "Zp"}
    assert not {one for one in screened(text) if unicodedata.bidirectional(one) in BIDI}


BIDI = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"}


@given(st.text())
def test_what_is_screened_stays_as_it_is(text: str) -> None:
    assert screened(screened(text)) == screened(text)
    assert unsent(screened(text)) == ""


def test_a_character_is_shown_by_its_number_and_words_stay() -> None:
    assert screened("a\x1b[31m\u202eb\nç 漢") == "a[U+001B][31m[U+202E]b\nç 漢"


def test_data_is_screened_wherever_a_text_is_in_it() -> None:
    assert screened_data({"a\x07": ["\x1b", 1, None]}) == {"a[U+0007]": ["[U+001B]", 1, None]}


def test_nothing_is_seen_of_fillers_and_blanks() -> None:
    assert [seen(text) for text in ("\u3164", "\u2800", "\u200b", " ", "A", "?", "漢")] == [
        *[False] * 4,
        *[True] * 3,
    ]
