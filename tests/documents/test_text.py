from __future__ import annotations

import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from kickover.documents import text


@given(st.text())
def test_clean_text_is_one_line_without_control_characters(raw: str) -> None:
    cleaned = text.clean(raw)
    assert all(unicodedata.category(one) not in {"Cc", "Cf", "Cs", "Cn", "Co"} for one in cleaned)
    assert text.clean(cleaned) == cleaned


@given(st.text(), st.floats(30, 300))
def test_no_wrapped_line_is_wider_than_its_room_and_no_letter_is_lost(raw: str, room: float) -> None:
    lines = text.wrap(raw, room, 10)
    assert all(text.width(line, 10) <= room or len(line) == 1 for line in lines)
    assert "".join(lines).replace(" ", "") == text.clean(raw).replace(" ", "")


def test_words_stay_whole_when_they_fit() -> None:
    assert text.wrap("Stop switch shorted to the frame", 80, 10) == (
        "Stop switch", "shorted to the", "frame",
    )  # fmt: skip


def test_the_font_has_the_letters_that_workshops_write() -> None:
    wanted = "Ω ≥ ≤ ± × ÷ · ° µ – — → ← ½ ² № жЖЁіїў šžčőűłńğşİéñøßæœ αβΔ €"
    assert text.printable(wanted) == wanted


def test_a_letter_that_the_font_lacks_is_shown_as_missing() -> None:
    assert text.printable("火 Ω") == "\ufffd Ω"
