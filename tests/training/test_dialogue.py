"""The talk of a drill: what typed lines do. Nothing that a person types breaks it."""

from __future__ import annotations

from collections.abc import Iterable

from hypothesis import given, settings
from hypothesis import strategies as st

from kickover.training.best_plan import Planner
from kickover.training.drill_dialogue import DrillTalk, handle_input
from kickover.training.drill_view import DrillPage, DrillView
from kickover.training.practice import PracticeStage
from kickover.ui.layout import laid_out
from worlds.drill_library import exercise, practice


def talk(*faults: str, complaint: str = "will-not-start") -> DrillTalk:
    view = DrillView(exercise(complaint=complaint), practice(*faults, complaint=complaint))
    return DrillTalk(view, Planner())


def after(begun: DrillTalk, lines: Iterable[str]) -> DrillTalk:
    for line in lines:
        begun = handle_input(begun, line)
    return begun


def shown(now: DrillTalk) -> str:
    return "\n".join(line.text for line in laid_out(now.screen(), 90, now.message))


def test_a_place_lists_its_checks_and_repairs_under_numbers() -> None:
    bars = after(talk("plug-fouled"), ["bars"])
    assert "3  Check: Spark at the plug (6 minutes)" in shown(bars)
    assert after(bars, ["3"]).view.practice.moves[0].id == "spark-at-plug"


def test_search_finds_by_words_of_the_title_the_question_or_the_name() -> None:
    assert [offer.id for offer in after(talk("plug-fouled"), ["find gauge"]).view.listed()] == ["compression"]
    assert (
        after(talk("plug-fouled"), ["find zebra"]).message
        == 'Nothing on offer has "zebra"; type help for the words.'
    )


def test_the_bare_name_of_a_check_makes_it() -> None:
    assert after(talk("plug-fouled"), ["switch-off-lead"]).view.practice.moves[0].id == "switch-off-lead"


def test_the_whole_way_from_the_complaint_to_the_end() -> None:
    now = after(talk("brake-drags", complaint="no-power"), ["name brake", "1"])
    assert now.view.practice.stage is PracticeStage.PROVE
    now = after(now, ["1"])
    assert "Your hand is stopped" in shown(now)
    now = after(now, ["2"])
    assert "Brakes" in now.view.practice.moves[-1].title
    now = after(now, ["1"])
    assert now.view.practice.stage is PracticeStage.OVER
    assert "Enter for the review" in now.screen().prompt
    now = after(now, [""])
    assert "Dangerous choices: 1" in shown(now)
    assert after(now, [""]).over


def test_a_hint_is_counted_only_when_there_is_one() -> None:
    now = after(talk("plug-fouled"), ["hint"])
    assert now.message == "There are no hints to this."
    assert now.view.practice.hints == 0


def test_enter_leads_back_to_the_bench() -> None:
    assert after(talk("plug-fouled"), ["find spark", ""]).view.page is DrillPage.BENCH


def test_a_number_that_is_not_there_is_answered_in_words() -> None:
    assert after(talk("plug-fouled"), ["99"]).message.startswith("There is no number 99 here")
    assert after(talk("plug-fouled"), ["bars", "99"]).message.startswith("There is no number 99 here")


def test_leaving_keeps_no_review() -> None:
    now = after(talk("plug-fouled"), ["switch-off-lead", "quit"])
    assert now.over
    assert now.view.looked_back is None


TYPED = (
    "1",
    "2",
    "3",
    "9",
    "-1",
    "²",
    "",
    "name ",
    *("bars", "owner", "safety", "work", "safe", "hint", "help", "?", "goal", "bench", "stop"),
    *("find", "find plug", "name", "name plug", "spark-at-plug", "new-plug", "fuel-vapour"),
)


@settings(deadline=None, max_examples=40)
@given(st.lists(st.sampled_from(TYPED) | st.text(max_size=12), max_size=12))
def test_nothing_that_is_typed_breaks_the_talk(lines: list[str]) -> None:
    now = talk("plug-fouled")
    for line in lines:
        if now.over:
            break
        now = handle_input(now, line)
        assert now.screen().lead
        assert now.words()


def test_a_pasted_book_is_refused_in_a_sentence() -> None:
    begun = talk("plug-fouled")
    now = after(begun, ["find gauge " * 1_000])
    assert now.message.startswith("That is 11000 characters, and an answer has at most 2000")
    assert now.view.practice == begun.view.practice
