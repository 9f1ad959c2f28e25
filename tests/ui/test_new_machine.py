"""A machine written down step by step, and the file that is made of it."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kickover.authoring.profiles import assumed_figures, assumed_in_words, load_machine, machine_text
from kickover.core.ids import FigureId, MachineId, is_id
from kickover.model.library import Library
from kickover.model.limits import figure_doubts
from kickover.ui.new_machine import (
    NewMachine,
    NewStage,
    change_machine,
    figures_that_matter,
    free_id,
    handle_new_machine_input,
    trait_groups,
)


def talk(new: NewMachine, *lines: str) -> NewMachine:
    for line in lines:
        new = handle_new_machine_input(new, line)
    return new


@pytest.fixture(scope="module")
def fresh(yard: Library) -> NewMachine:
    return NewMachine(yard, frozenset({"moped"}))


def test_the_stroke_is_asked_first_and_must_be_known(fresh: NewMachine) -> None:
    named = talk(fresh, "My moped")
    assert named.group == "stroke"
    assert "must be known" in talk(named, "").message
    assert talk(named, "two").group != "stroke"


def test_a_name_of_which_nothing_is_seen_is_asked_again(fresh: NewMachine) -> None:
    assert talk(fresh, "\N{VARIATION SELECTOR-17}").stage is NewStage.TITLE


def test_enter_takes_what_is_usual_for_the_stroke(fresh: NewMachine) -> None:
    done = talk(fresh, "My moped", "1", "", "", "", "rest")
    assert done.stage is NewStage.DONE
    assert done.machine().traits == {"two-stroke", "kill-wire", "magneto", "kick"}


def test_several_ways_of_starting_but_one_ignition(fresh: NewMachine) -> None:
    at_ignition = talk(fresh, "My moped", "1", "none")
    assert at_ignition.group == "ignition"
    assert "Only one of these" in talk(at_ignition, "1 2").message
    assert talk(at_ignition, "points", "1 2", "rest").machine().traits == {
        "two-stroke",
        "points",
        "kick",
        "rope",
    }


def test_a_figure_is_taken_left_out_or_refused(fresh: NewMachine) -> None:
    at_figure = talk(fresh, "My moped", "1", "", "", "")
    assert at_figure.stage is NewStage.FIGURES
    assert "7 bar" in at_figure.screen().facts[0]
    assert talk(at_figure, "90 psi").machine().figures[FigureId("good-pressure")].unit == "psi"
    assert talk(at_figure, "").machine().figures == {}
    for wrong in ("900 bar", "5 ohm", "much", "-1 bar"):
        assert "That cannot be" in talk(at_figure, wrong).message


def test_back_goes_back_to_the_first_question(fresh: NewMachine) -> None:
    now = talk(fresh, "My moped", "1", "", "", "", "rest")
    for _ in range(6):
        now = talk(now, "back")
    assert now.stage is NewStage.TITLE
    assert "first question" in talk(now, "back").message


@settings(max_examples=60, deadline=None)
@given(title=st.text(max_size=30))
def test_any_name_gives_a_free_id(title: str) -> None:
    first = free_id(title, frozenset())
    assert is_id(first)
    second = free_id(title, frozenset({first}))
    assert is_id(second)
    assert second != first


@settings(max_examples=30, deadline=None)
@given(
    title=st.text(st.characters(exclude_categories=("Cs", "Cc", "Cf", "Cn", "Co", "Zl", "Zp")), min_size=1)
)
def test_the_file_reads_back_as_the_same_machine(
    yard: Library, tmp_path_factory: pytest.TempPathFactory, title: str
) -> None:
    new = talk(NewMachine(yard), title, "1", "", "", "", "92 psi")
    if not new.over:
        return
    made = new.machine()
    path = tmp_path_factory.mktemp("own") / "own.yaml"
    path.write_text(machine_text(made, yard), encoding="utf-8")
    read = load_machine(path, yard)
    assert (read.id, read.title, read.traits, read.figures) == (
        made.id,
        made.title,
        made.traits,
        made.figures,
    )


def test_the_file_says_what_is_assumed(yard: Library) -> None:
    made = talk(NewMachine(yard), "My moped", "1", "", "", "", "rest").machine()
    assert "good-pressure: 7 bar" in machine_text(made, yard)
    said = [assumed_in_words(*pair) for pair in assumed_figures(made, yard)]
    assert said == ["Good pressure: 7 bar (102 psi)"]


def test_the_shipped_library_asks_each_group_once_and_only_figures_that_matter(
    shipped: Library, tmp_path: Path
) -> None:
    new = talk(NewMachine(shipped), "Grey one", "1")
    asked = ["stroke"]
    while new.stage is NewStage.TRAITS:
        asked.append(new.group)
        new = talk(new, "")
    assert len(asked) == len(set(asked))
    assert set(asked) <= trait_groups(shipped).keys()
    matter = figures_that_matter(shipped, new.machine())
    assert "bore" in matter
    assert "wheel-diameter" not in matter or len(matter) < len(shipped.figures)
    made = talk(new, "rest").machine()
    path = tmp_path / "grey.yaml"
    path.write_text(machine_text(made, shipped), encoding="utf-8")
    assert load_machine(path, shipped).traits == made.traits


def at_figure(shipped: Library, figure: str) -> NewMachine:
    """The questions about a two-stroke, come to a figure."""
    new = talk(NewMachine(shipped), "Grey one", "two-stroke")
    while new.stage is NewStage.TRAITS or new.open_figures()[0] != figure:
        new = talk(new, "")
    return new


def test_traits_are_asked_only_where_they_apply(shipped: Library) -> None:
    two, four = (talk(NewMachine(shipped), "Grey one", stroke) for stroke in ("two-stroke", "four-stroke"))
    assert "poppet-valves" not in two.members("intake")
    assert "valves" not in two.open_groups()
    assert four.open_groups()[0] != "intake"
    assert "reed-valve" not in four.members("intake")
    while four.stage is NewStage.TRAITS:
        assert four.group not in {"intake", "oiling"}, "a four-stroke has no choice there"
        four = talk(four, "")
    assert {"poppet-valves", "sump-oil"} <= four.machine().traits


def test_wrong_figures_are_questioned_in_words_and_taken_when_they_are_meant(shipped: Library) -> None:
    """A bore of 400 mm, 6 ohm for a winding of thousands, a cruise below idle."""
    doubted = talk(at_figure(shipped, "bore"), "400")
    assert "10 times the usual 40 mm" in doubted.message
    assert doubted.figures == {}
    assert talk(doubted, "400").figures[FigureId("bore")].value == 400
    assert talk(doubted, "40").figures[FigureId("bore")].value == 40
    assert "1000 times less than the usual 6 kΩ" in talk(at_figure(shipped, "coil-secondary"), "6").message
    assert "not above Idle speed" in talk(at_figure(shipped, "cruise-speed"), "1400").message


def test_a_machine_that_is_changed_keeps_what_is_not_answered_anew(shipped: Library) -> None:
    prior = shipped.machines[MachineId("clip-on-two-stroke")]
    same = change_machine(shipped, prior)
    while not same.over:
        same = talk(same, "")
        assert not same.message
    assert same.machine() == prior
    now = talk(change_machine(shipped, prior), "")
    while now.stage is NewStage.TRAITS:
        now = talk(now, "")
    while now.open_figures()[0] != "bore":
        now = talk(now, "")
    dropped = now.open_figures()[1]
    changed = talk(now, "46 mm", "unknown", "rest").machine()
    assert changed.id == prior.id
    assert changed.figures[FigureId("bore")].value == 46
    assert dropped in prior.figures
    assert dropped not in changed.figures
    assert changed.figures[FigureId("tyre-pressure")] == prior.figures[FigureId("tyre-pressure")]


def test_the_invented_machines_raise_no_doubt(shipped: Library) -> None:
    for machine in shipped.machines.values():
        assert figure_doubts(shipped, machine) == ()
