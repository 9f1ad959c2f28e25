"""What typed lines do to the conversation of a walk."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kickover.core.ids import EventId, MachineId
from kickover.inference.soft_evidence import Sureness
from kickover.model.library import Library
from kickover.session.entries import (
    Answered,
    Cannot,
    Chose,
    GaveUp,
    Measured,
    Noted,
    Proved,
    Repaired,
    Waited,
)
from kickover.session.options import options
from kickover.session.session import Phase, begin
from kickover.ui.commands import COMMANDS
from kickover.ui.dialogue import COMMAND_WORDS, Dialogue, DialoguePage
from kickover.ui.input_handling import handle_input


def talk(dialogue: Dialogue, *lines: str) -> Dialogue:
    for line in lines:
        dialogue = handle_input(dialogue, line)
    return dialogue


@pytest.fixture(scope="module")
def fresh(yard: Library) -> Dialogue:
    machine = yard.machines[MachineId("moped")]
    return Dialogue(begin(yard, machine, [EventId("will-not-start")]))


@pytest.fixture(scope="module")
def hot(yard: Library) -> Dialogue:
    machine = yard.machines[MachineId("moped")]
    return Dialogue(begin(yard, machine, [EventId("dies-hot")]))


def at_check(dialogue: Dialogue, check: str) -> Dialogue:
    """The dialogue with that check on the screen."""
    chosen = replace(dialogue, session=dialogue.session.record(Chose(check)))
    assert chosen.task().id == check
    return chosen


def test_the_words_for_completion_are_the_commands(fresh: Dialogue) -> None:
    assert set(COMMAND_WORDS) == COMMANDS.keys() - {"?"}
    assert set(COMMAND_WORDS) <= set(fresh.words())


def test_an_answer_is_recorded_and_the_next_question_follows(fresh: Dialogue) -> None:
    asked = at_check(fresh, "tap-look")
    after = handle_input(asked, "right")
    assert after.session.entries[-1] == Answered("tap-look", "right")
    assert after.task().id != "tap-look"


def test_not_sure_makes_the_next_pick_a_guess(fresh: Dialogue) -> None:
    after = talk(at_check(fresh, "tap-look"), "not sure", "1")
    assert after.session.entries[-1] == Answered("tap-look", "shut", Sureness.GUESS)
    assert not after.guessing


@pytest.mark.parametrize(
    ("word", "page"),
    [("why", DialoguePage.WHY), ("likely", DialoguePage.LIKELY), ("help", DialoguePage.HELP)],
)
def test_a_page_is_shown_and_enter_goes_on(fresh: Dialogue, word: str, page: DialoguePage) -> None:
    shown = handle_input(fresh, word)
    assert shown.page is page
    assert shown.screen().body or shown.screen().choices or shown.screen().shares
    assert handle_input(shown, "").page is DialoguePage.STEP


def test_an_answer_typed_on_a_page_is_not_recorded(fresh: Dialogue) -> None:
    after = talk(fresh, "likely", "1")
    assert after.session is fresh.session
    assert "nothing was recorded" in after.message


def test_back_takes_back_any_number_of_entries(fresh: Dialogue) -> None:
    walked = talk(fresh, "1", "1", "1", "note smells")
    back = talk(walked, *["back"] * len(walked.session.entries))
    assert back.session is fresh.session
    assert "first step" in handle_input(back, "back").message


def test_an_earlier_answer_is_changed_and_the_later_ones_kept(fresh: Dialogue) -> None:
    session = fresh.session.replayed(
        [Answered("tap-look", "right"), Answered("choke-look", "no"), Measured("compression", 8, 8)]
    )
    asked = talk(replace(fresh, session=session), "answers", "change 1")
    assert asked.task().id == "tap-look"
    assert asked.session is session, "nothing is lost while the new answer is awaited"
    after = handle_input(asked, "shut")
    assert after.session.entries == (
        Answered("tap-look", "shut"),
        Answered("choke-look", "no"),
        Measured("compression", 8, 8),
    )
    assert talk(asked, "back").session is session


def test_a_proof_that_is_changed_to_cured_ends_the_walk_there(fresh: Dialogue) -> None:
    session = fresh.session.replayed([Repaired("open-tap"), Proved(gone=False), Answered("choke-look", "no")])
    after = talk(replace(fresh, session=session), "change 2", "yes")
    assert after.session.mended == "open-tap"
    assert "no longer fit" in after.message


def test_change_without_a_number_shows_the_answers(fresh: Dialogue) -> None:
    for line in ("change", "change 7", "change x", "change 99999999999"):
        assert handle_input(fresh, line).page is DialoguePage.ANSWERS


def test_a_check_is_made_again_by_its_name_and_averaged(fresh: Dialogue) -> None:
    session = fresh.session.record(Measured("compression", 6.0, 6.0))
    asked = handle_input(replace(fresh, session=session), "again compression")
    assert asked.task().id == "compression"
    after = handle_input(asked, "7 bar")
    assert len(after.session.evidence) == 1
    assert after.repeating == ""


def test_a_misspelt_check_to_make_again_gets_the_near_one(fresh: Dialogue) -> None:
    session = fresh.session.record(Measured("compression", 6.0, 6.0))
    assert (
        "Did you mean compression?"
        in handle_input(replace(fresh, session=session), "again compresion").message
    )


def test_a_contradiction_is_pointed_out_once_with_the_check_to_repeat(hot: Dialogue) -> None:
    session = hot.session.record(Measured("coil-ohms", 20_000, 20_000))
    after = handle_input(at_check(replace(hot, session=session), "chain-look"), "loose")
    assert "do not fit together" in after.message
    assert after.doubted == "chain-look"
    again = handle_input(after, "again")
    assert again.task().id == "chain-look"
    assert "do not fit together" not in handle_input(after, "cold").message


def test_a_note_is_kept_without_being_an_answer(fresh: Dialogue) -> None:
    after = handle_input(fresh, "note it smells of fuel")
    assert after.session.entries[-1] == Noted("it smells of fuel")
    assert after.task().id == fresh.task().id


def test_cannot_bars_a_step_and_skip_puts_it_off(fresh: Dialogue) -> None:
    first = fresh.task().id
    assert talk(fresh, "cannot").session.entries[-1] == Cannot(first)
    assert first not in {step.id for step in talk(fresh, "cannot").session.plan().steps}
    assert talk(fresh, "skip").task().id != first


def test_cannot_on_a_preparation_names_the_step_it_was_for(hot: Dialogue) -> None:
    asked = replace(hot, session=hot.session.record(Chose("coil-ohms")))
    assert asked.task().phase is Phase.PREPARE
    assert handle_input(asked, "2").session.entries[-1] == Cannot("plug-out", "coil-ohms")


def test_the_engine_is_told_to_be_cold_or_hot(hot: Dialogue) -> None:
    after = handle_input(hot, "cold")
    assert after.session.entries[-1] == Waited("engine-cold", told=True)
    assert "counts as cold" in after.message
    assert "engine-cold" in handle_input(after, "cold").session.job.houses


def test_another_step_is_picked_by_number(fresh: Dialogue) -> None:
    page = handle_input(fresh, "other")
    assert page.page is DialoguePage.OTHER
    offered = options(fresh.session)
    after = handle_input(page, "2")
    assert after.session.entries[-1] == Chose(offered[1].id)
    assert after.task().id in {offered[1].id, after.session.task().id}
    assert "Type a number from 1" in handle_input(page, "99").message
    assert handle_input(page, "").page is DialoguePage.STEP


def test_stopping_ends_the_walk_and_enter_leaves(fresh: Dialogue) -> None:
    stopped = handle_input(fresh, "stop")
    assert stopped.session.entries[-1] == GaveUp()
    assert not stopped.over
    assert handle_input(stopped, "").over
    assert not handle_input(handle_input(stopped, "back"), "").over


def test_a_failed_proof_says_that_the_walk_goes_on(fresh: Dialogue) -> None:
    proving = replace(fresh, session=fresh.session.record(Repaired("open-tap")))
    assert "goes on" in handle_input(proving, "no").message


@pytest.mark.parametrize(
    ("typed", "hint"), [("likley", "the word likely"), ("bak", "the word back"), ("hlep", "the word help")]
)
def test_a_misspelt_word_gets_the_near_one(fresh: Dialogue, typed: str, hint: str) -> None:
    assert hint in handle_input(fresh, typed).message


def test_what_is_not_understood_changes_nothing(fresh: Dialogue) -> None:
    for line in ("", "   ", "xyzzy", "99", "1 2 3", "\x1b[2J", "🙂" * 500, "a" * 100_000):
        after = handle_input(fresh, line)
        assert after.session is fresh.session
        assert after.message
        assert after.message.isprintable()


def test_an_answer_comes_before_a_word_of_the_walk(shipped: Library) -> None:
    session = begin(shipped, shipped.machines[MachineId("clip-on-two-stroke")], [EventId("no-spark-seen")])
    asked = Dialogue(session.record(Chose("when-it-fails")))
    assert handle_input(asked, "hot").session.entries[-1] == Answered("when-it-fails", "hot")


def test_a_pasted_book_is_refused_in_a_sentence_and_nothing_of_it_is_looked_at(
    fresh: Dialogue, monkeypatch: pytest.MonkeyPatch
) -> None:
    def looked_at(_text: str) -> str:
        raise AssertionError("a paste was looked at")

    monkeypatch.setattr("kickover.ui.input_handling.cleaned", looked_at)
    after = talk(fresh, "1 " * 500_000)
    assert after.message.startswith("That is 1000000 characters, and an answer has at most 2000")
    assert after.session == fresh.session
