"""Setting out: machine, complaint in one's own words, what happened before, what is at hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kickover.core.ids import EventId, ItemId, MachineId
from kickover.model.library import Library
from kickover.ui.setup import (
    SetupStage,
    SetupState,
    asked_houses,
    handle_setup_input,
    machines_of,
    with_machine,
)
from kickover.ui.setup_screens import SetupWizard


def talk(setup_state: SetupState, *lines: str) -> SetupState:
    for line in lines:
        setup_state = handle_setup_input(setup_state, line)
    return setup_state


@pytest.fixture(scope="module")
def fresh(yard: Library) -> SetupState:
    return SetupState(yard)


def test_without_anything_known_all_four_are_asked_in_turn(fresh: SetupState) -> None:
    stages = [fresh.stage]
    now = fresh
    for line in ("moped", "badly", "1", "", "pouch"):
        now = handle_setup_input(now, line)
        stages.append(now.stage)
    assert stages == [
        SetupStage.MACHINE,
        SetupStage.COMPLAINT,
        SetupStage.CONFIRM,
        SetupStage.SITUATION,
        SetupStage.KIT,
        SetupStage.READY,
    ]
    begun = now.start()
    assert begun.machine.id == "moped"
    assert begun.complaints == ("runs-badly",)
    assert begun.kit == "pouch"
    assert ItemId("socket") in (begun.items or ())
    assert not begun.fresh


def test_a_misspelt_machine_gets_the_near_one(fresh: SetupState) -> None:
    assert "did you mean moped" in handle_setup_input(fresh, "moepd").message


def test_the_unknown_machines_come_last_and_ones_own_first(yard: Library) -> None:
    mine = replace(yard.machines[MachineId("moped")], id=MachineId("my-moped"), title="My moped")
    names = [one.id for one in machines_of(SetupState(yard, own=(mine,)))]
    assert names[0] == "my-moped"
    assert names[-1].startswith("unknown-")


def test_several_complaints_are_confirmed_by_their_numbers(fresh: SetupState) -> None:
    now = talk(fresh, "moped", "list", "1 3")
    assert len(now.complaints) == 2
    assert "numbers from 1" in talk(fresh, "moped", "list", "1 99").message


def test_other_words_can_be_tried_at_the_confirmation(fresh: SetupState) -> None:
    now = talk(fresh, "moped", "badly", "it smokes")
    assert now.stage is SetupStage.CONFIRM
    assert now.matched[0] == "smokes"


def test_words_that_fit_nothing_are_told(fresh: SetupState) -> None:
    assert "fits none of the complaints" in talk(fresh, "moped", "zzz").message


def test_words_from_the_command_line_are_matched_once_the_machine_is_known(yard: Library) -> None:
    now = handle_setup_input(SetupState(yard, said="smoke everywhere, smokes"), "moped")
    assert (now.stage, now.matched[0]) == (SetupStage.CONFIRM, "smokes")
    same = with_machine(SetupState(yard, said="smokes"), yard.machines[MachineId("moped")])
    assert same.stage is SetupStage.CONFIRM


def test_whether_it_runs_is_not_asked_of_an_engine_that_stranded_its_rider(shipped: Library) -> None:
    def asked(complaint: str) -> set[str]:
        return {
            asked_house.id
            for asked_house in asked_houses(SetupState(shipped, complaints=(EventId(complaint),)))
        }

    assert "engine-runs" not in asked("will-not-start")
    assert "engine-runs" not in asked("no-spark-seen")
    assert "engine-runs" not in asked("no-power")  # settled: the complaint says that it runs
    assert "engine-runs" in asked("kicks-back") | asked("backfires")
    assert "engine-cold" not in asked("will-not-start-hot")
    assert "stood-weeks" not in asked("will-not-start-after-storage")


def test_the_situation_is_taken_by_number_or_name(fresh: SetupState) -> None:
    before = talk(fresh, "moped", "smokes", "1")
    assert before.stage is SetupStage.SITUATION
    assert "stood-months" in (talk(before, "stood").given or ())
    assert talk(before, "none").given == frozenset()
    assert "Type numbers" in talk(before, "17").message


def test_tools_can_be_picked_one_by_one(fresh: SetupState, yard: Library) -> None:
    before = talk(fresh, "moped", "smokes", "1", "", "pick")
    assert before.stage is SetupStage.PICK
    items = list(yard.items)
    assert talk(before, "1-2").items == frozenset(items[:2])
    assert set(talk(before, "socket, gauge").items or ()) == {"socket", "gauge"}
    assert talk(before, "").items == frozenset()
    assert "such as 1 3-6" in talk(before, "0").message


def test_back_goes_back_through_every_question(fresh: SetupState) -> None:
    now = talk(fresh, "moped", "badly", "1", "", "pick", "1")
    assert now.stage is SetupStage.READY
    for _ in range(6):
        now = handle_setup_input(now, "back")
    assert now.stage is SetupStage.MACHINE
    assert "first question" in handle_setup_input(now, "back").message


def test_a_machine_is_written_down_on_the_way(fresh: SetupState, yard: Library) -> None:
    now = talk(fresh, "new", "Red one", "2", "1")
    while now.stage is SetupStage.NEW:
        now = handle_setup_input(now, "")
    assert now.stage is SetupStage.COMPLAINT
    assert now.machine is not None
    assert (now.machine.id, now.machine.title) == ("red-one", "Red one")
    assert "four-stroke" in now.machine.traits
    assert talk(fresh, "new", "back").stage is SetupStage.MACHINE


def test_each_stage_has_a_screen_with_the_words_that_work(fresh: SetupState) -> None:
    now = fresh
    for line in ("moped", "badly", "1", "", "pick"):
        screen = SetupWizard(now).screen()
        assert {"back", "quit"} <= {key.key for key in screen.keys}
        assert SetupWizard(now).words() is not None
        now = handle_setup_input(now, line)


def test_a_pasted_book_is_refused_in_a_sentence(fresh: SetupState) -> None:
    after = talk(fresh, "will not start " * 100_000)
    assert after.message.startswith("That is 1500000 characters, and an answer has at most 2000")
    assert after.stage is fresh.stage
