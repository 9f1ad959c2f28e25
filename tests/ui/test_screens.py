"""What the screens say and how they are laid out at the widths of phones, terminals and benches."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kickover.core.ids import CheckId, EventId, MachineId
from kickover.model.library import Library
from kickover.session.entries import Answered, Chose, Measured, Prepared, Proved, Repaired
from kickover.session.outcome import limits_of
from kickover.session.session import Session, begin
from kickover.session.wording import (
    chance_in_words,
    minutes_in_words,
    percent,
    weight_in_words,
)
from kickover.ui.dialogue import Dialogue
from kickover.ui.input_handling import handle_input
from kickover.ui.layout import ASIDE_WIDTH, aside_lines, keys_line, laid_out
from kickover.ui.screen import Choice, Screen, bars, progress


@pytest.fixture(scope="module")
def walk(yard: Library) -> Session:
    return begin(yard, yard.machines[MachineId("moped")], [EventId("dies-hot")])


@given(
    st.builds(
        Screen,
        heading=st.text(max_size=60),
        lead=st.text(max_size=200),
        cautions=st.lists(st.text(max_size=300), max_size=3).map(tuple),
        how=st.lists(st.text(max_size=200), max_size=4).map(tuple),
        choices=st.lists(st.builds(Choice, st.just("1"), st.text(max_size=90)), max_size=4).map(tuple),
        facts=st.lists(st.text(max_size=90), max_size=3).map(tuple),
    ),
    st.integers(20, 200),
)
def test_nothing_is_wider_than_the_screen(screen: Screen, width: int) -> None:
    assert all(len(line.text) <= width for line in laid_out(screen, width, "message " * 20))


@pytest.mark.parametrize("width", [38, 72, 79])
def test_every_sketch_of_the_shipped_library_fits_a_phone(shipped: Library, width: int) -> None:
    sketched = [check for check in shipped.checks.values() if check.sketch]
    assert len(sketched) >= 5
    for check in sketched:
        for row in check.sketch.splitlines():
            assert len(row) <= 38, f"{check.id}: {row}"
            shown = laid_out(Screen("", "", sketch=(row,)), width + 2)
            assert any(row.rstrip() in line.text for line in shown)


def test_a_measurement_shows_its_limits_for_this_machine(yard: Library, walk: Session) -> None:
    assert limits_of(walk, yard.checks[CheckId("coil-ohms")]) == ("under 9 kΩ: Whole", "from 9 kΩ: Open")


def test_a_check_says_in_which_state_it_counts_and_shows_its_sketch(yard: Library, walk: Session) -> None:
    session = walk.record(Chose("coil-ohms")).record(Prepared("plug-out", undone=False))
    screen = Dialogue(session).screen()
    assert "It counts in this state only: the engine is hot." in screen.facts
    assert screen.sketch == ("meter ---[ coil ]--- meter",)
    assert screen.prompt == "Reading in Ω"


def test_the_causes_stand_beside_the_question_and_show_how_they_moved(walk: Session) -> None:
    first = aside_lines(bars(walk))
    assert not any("up" in line.text or "down" in line.text for line in first if line.role == "bar")
    after = aside_lines(bars(walk.record(Measured("coil-ohms", 20_000, 20_000))))
    moves = [line.text.split("%")[1].strip() for line in after if line.role == "bar"]
    assert any(move.startswith("up ") for move in moves)
    assert all(len(line.text) <= ASIDE_WIDTH for line in after)


def test_a_note_does_not_hide_how_the_last_answer_moved_the_causes(walk: Session) -> None:
    answered = walk.record(Measured("coil-ohms", 20_000, 20_000))
    noted = handle_input(Dialogue(answered), "note smells").session
    assert [bar.moved for bar in bars(noted)] == [bar.moved for bar in bars(answered)]


def test_the_heading_says_how_many_of_the_minutes_are_waiting(walk: Session) -> None:
    assert progress(walk, "Charge it", 95, 90).endswith("95\u00a0min, 90 of them waiting)")
    assert progress(walk, "Fit it", 9).endswith("9\u00a0min)")


def test_a_note_is_no_step(walk: Session) -> None:
    assert "tep\u00a01" in handle_input(Dialogue(walk), "note cold hands").screen().heading


def test_the_words_that_work_are_always_shown(walk: Session) -> None:
    screen = Dialogue(walk).screen()
    for width in (40, 80, 140):
        shown = " ".join(line.text for line in keys_line(screen, width))
        assert {"why", "back", "help"} <= {key.key for key in screen.keys}
        for key in screen.keys:
            assert key.key in shown


def test_likely_shows_bars_and_says_plainly_what_speaks_for_and_against(walk: Session) -> None:
    session = walk.record(Measured("coil-ohms", 20_000, 20_000)).record(Repaired("new-gasket"))
    session = session.record(Proved(gone=False))
    page = handle_input(Dialogue(session), "likely").screen()
    text = "\n".join(page.body)
    assert "Coil breaks when hot" in page.lead
    assert "Coil winding: 20 kΩ: makes it" in text
    assert "times as likely" in text
    assert "dB" not in text
    assert "Proof: not cured: makes it" in text
    bars_shown = [line.text for line in laid_out(page, 80) if line.role == "bar"]
    assert len({line.index("%") for line in bars_shown}) == 1


def test_why_says_what_it_separates_what_answers_do_and_what_it_saves(yard: Library) -> None:
    session = begin(yard, yard.machines[MachineId("moped")], [EventId("will-not-start")])
    for _ in range(12):
        if session.task().phase == "check":
            break
        session = session.record(Answered("choke-look", "no"))
    page = handle_input(Dialogue(session), "why").screen()
    assert any("to a proven repair" in fact for fact in page.facts)
    assert any("Next best" in fact for fact in page.facts)
    assert page.table is not None
    check = session.library.checks[CheckId(session.task().id)]
    assert [row[0] for row in page.table.rows] == ["As it stands", *(one.title for one in check.findings)]
    assert all(len(row) == len(page.table.heads) for row in page.table.rows)
    for width in (40, 80):
        assert all(len(line.text) <= width for line in laid_out(page, width))


def test_answers_are_listed_with_their_numbers(walk: Session) -> None:
    session = walk.record(Measured("coil-ohms", 8000, 9500)).record(Answered("choke-look", "no"))
    page = handle_input(Dialogue(session), "answers").screen()
    assert page.body == ("1. Coil winding: 8 kΩ to 9.5 kΩ", "2. Choke: No")


@pytest.mark.parametrize(
    ("minutes", "words"),
    [(0.2, "half a minute"), (1, "a minute"), (12, "12 minutes"), (120, "2 hours"), (150, "2.5 hours")],
)
def test_minutes_are_said_as_people_say_them(minutes: float, words: str) -> None:
    assert minutes_in_words(minutes) == words


def test_no_probability_is_said_to_be_nothing_or_all() -> None:
    assert [percent(share) for share in (0.0, 0.5, 1.0)] == ["<1\u00a0%", "50\u00a0%", ">99\u00a0%"]
    assert [chance_in_words(share) for share in (0.95, 0.7, 0.4, 0.2, 0.05, 0.0)] == [
        "almost certain",
        "likely",
        "quite possible",
        "possible",
        "not likely",
        "hardly",
    ]


def test_weights_are_said_as_people_say_them() -> None:
    assert weight_in_words(12) == "makes it 16 times as likely"
    assert weight_in_words(-6) == "makes it 4 times less likely"
    assert weight_in_words(3) == "makes it twice as likely"
    assert weight_in_words(0.2) == "makes it a little more likely"
    assert weight_in_words(30) == "makes it over a hundred times as likely"
