"""`kickover cases`, as a person would type it."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from kickover.authoring import load_or_raise
from kickover.cli.main import run
from kickover.core.ids import MachineId
from kickover.learning.exchange import Form, write_lines
from kickover.session.entries import Answered, Proved, Repaired
from kickover.session.journal import Heading, start
from learning.simulated import simulate, with_rates
from worlds.shop_library import write_shop

Say = Callable[..., tuple[int, str, str]]
HEADING = "date,machine,complaints,causes,seen,minutes\n"
GOOD = "2026-03-01,moped,will-not-start,plug-fouled,plug-look=sooty,12\n"


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("KICKOVER_HOME", str(tmp_path / "home"))
    return write_shop(tmp_path / "shop")


@pytest.fixture
def say(shop: Path, capsys: pytest.CaptureFixture[str]) -> Say:
    """Run a command of the group on the shop's library: exit code, output, errors."""

    def said(*words: str | Path) -> tuple[int, str, str]:
        code = run(["cases", *map(str, words), "--library", str(shop)])
        return code, *capsys.readouterr()

    return said


def data(said: tuple[int, str, str]) -> Any:
    return json.loads(said[1])


BY_HAND = ("add", "--machine", "moped", "--complaint", "will-not-start", "--cause", "plug-fouled")


def test_a_case_is_added_by_hand_listed_and_shown(say: Say) -> None:
    code, out, _ = say(
        *BY_HAND,
        "--saw",
        "plug-look=sooty",
        "--saw",
        "compression=8 bar~guess@stood-months",
        "--minutes",
        "25",
        "--date",
        "2026-03-01",
    )
    assert code == 0
    assert out.startswith("Added: 2026-03-01  moped  will-not-start: plug-fouled  [")
    (case,) = data(say("list", "--json"))
    assert case["minutes"] == 25
    assert case["seen"][0] == {"check": "plug-look", "weights": {"sooty": 1.0}}
    assert case["seen"][1]["reading"] == {"low": 8.0, "high": 8.0, "unit": "bar"}
    assert case["seen"][1]["state"] == ["stood-months"]
    assert "cause:      Plug fouled (plug-fouled; seen)" in say("show", case["id"])[1]
    assert say("list")[1].endswith("1 case\n")
    assert say("remove", case["id"])[0] == 0
    assert say("list")[1] == "0 cases\n"


@pytest.mark.parametrize(
    ("words", "code", "error"),
    [
        ((*BY_HAND[:-1], "plug-foulde"), 1, "did you mean 'plug-fouled'?"),
        ((*BY_HAND[:-1], "air-leak"), 1, "'air-leak' alone does not bring 'will-not-start' there"),
        ((*BY_HAND, "--saw", "plug-look=purple"), 1, "'purple' is none of the choices"),
        ((*BY_HAND, "--saw", "plug-look"), 1, "'plug-look' does not read as CHECK=FINDING"),
        ((*BY_HAND, "--date", "soon"), 2, "'soon' is no date"),
        (("add",), 2, "name a walk, or give --machine, --complaint and --cause"),
        (("add", "no-such-walk"), 1, "there is no walk"),
        (("show", "nothing"), 1, "there is no case 'nothing'; `kickover cases list` shows them"),
        (("learn", "-o", "rates.txt"), 2, "end its name in .yaml"),
        (("import", "no-such-file.csv"), 2, "does not exist"),
    ],
)
def test_what_is_wrong_is_said_in_words(say: Say, words: tuple[str, ...], code: int, error: str) -> None:
    found, _, errors = say(*words)
    assert found == code
    assert error in errors
    assert "Traceback" not in errors


def test_a_walk_is_added_once_from_its_journal(say: Say, shop: Path, tmp_path: Path) -> None:
    version = load_or_raise(shop).version
    heading = Heading(
        "20260301-101500-ab",
        "2026-03-01T10:15:00",
        "Shop",
        version,
        "moped",
        ("will-not-start",),
        (),
        "",
        None,
        None,
    )
    with start(tmp_path / "home" / "walks", heading, lambda: "2026-03-01T10:40:00") as journal:
        journal.keep((), (Answered("plug-look", "sooty"), Repaired("new-plug"), Proved(gone=True)))
        journal.write_closed("mended")
    assert say("add", "20260301")[1].startswith("Added: 2026-03-01  moped  will-not-start: plug-fouled")
    assert say("add", "20260301-101500-ab")[1].startswith("There already: ")
    (case,) = data(say("list", "--json"))
    assert (case["confirmed"], case["repair"], case["id"]) == ("repair", "new-plug", "20260301-101500-ab")


def test_bad_lines_are_named_and_kept_aside_and_the_others_added(say: Say, tmp_path: Path) -> None:
    file = tmp_path / "cases.csv"
    bad = [GOOD.replace("plug-fouled", "air-leak"), '"' + GOOD, GOOD.replace("moped", "tractor")]
    file.write_bytes((HEADING + GOOD + bad[0] + GOOD + bad[1] + bad[2]).encode() + b"\xff\xfe\n")
    code, out, errors = say("import", file)
    assert code == 1
    assert [line.split(": ")[0] for line in errors.splitlines()] == [
        f"{file}:{line}" for line in (3, 5, 6, 7)
    ]
    assert "'air-leak' alone does not bring 'will-not-start' there; mend the cause" in errors
    assert "there is no machine called 'tractor'" in errors
    assert out.startswith("2 added, 0 there already, 4 kept aside\n")
    aside = tmp_path / "cases-aside.csv"
    assert aside.read_bytes() == (HEADING + "".join(bad)).encode() + b"\xff\xfe\n"
    assert say("import", file)[1].startswith("0 added, 2 there already, 4 kept aside\n")
    aside.write_text(aside.read_text(errors="replace").replace("air-leak", "tap-shut"))
    assert say("import", aside)[1].startswith("1 added, 0 there already, 3 kept aside\n")


def test_a_line_whose_id_is_taken_by_another_case_is_kept_aside(say: Say, tmp_path: Path) -> None:
    file = tmp_path / "cases.csv"
    file.write_text("id," + HEADING + "a," + GOOD + "a," + GOOD + "a," + GOOD.replace("12", "13"))
    code, out, errors = say("import", file)
    assert (code, out.splitlines()[0]) == (1, "1 added, 1 there already, 1 kept aside")
    assert errors == f"{file}:4: another case has the id 'a'; give this one an id of its own\n"


@pytest.mark.parametrize("form", list(Form))
def test_an_export_comes_back_as_it_was(
    say: Say, shop: Path, tmp_path: Path, form: Form, monkeypatch: pytest.MonkeyPatch
) -> None:
    library = load_or_raise(shop)
    machine = library.machines[MachineId("moped")]
    cases = simulate(
        library,
        machine,
        "runs-badly",
        300,
        np.random.default_rng(1),
        given=["stood-months"],
        checks=["plug-look"],
    )
    first = tmp_path / f"first.{form}"
    first.write_text("".join(write_lines(cases, form)))
    assert say("import", first)[1].startswith("300 added, 0 there already, 0 kept aside\n")
    second = tmp_path / f"second.{form}"
    assert say("export", second)[1] == f"300 cases written to {second}\n"
    assert second.read_text() == first.read_text()
    assert say("export", "--form", form.value)[1] == first.read_text()
    monkeypatch.setenv("KICKOVER_HOME", str(tmp_path / "other"))
    assert data(say("import", second, "--json"))["added"] == 300


def test_learning_writes_an_overlay_that_the_library_takes(say: Say, shop: Path, tmp_path: Path) -> None:
    library = load_or_raise(shop)
    machine = library.machines[MachineId("moped")]
    true = with_rates(library, {"plug-fouled": 1.0, "tap-shut": 20.0})
    cases = simulate(true, machine, "will-not-start", 300, np.random.default_rng(1), checks=["plug-look"])
    file = tmp_path / "cases.jsonl"
    file.write_text("".join(write_lines(cases, Form.JSONL)))
    came_with = data(say("import", file, "--json"))["import"]
    output = tmp_path / "learned.yaml"
    found = data(say("learn", "-o", output, "--trust", came_with, "--accept", "tap-shut", "--json"))
    assert (found["cases"], found["used"]) == (300, 300)
    assert found["rates_judged"]["verdict"] == "helps"
    assert found["overlay"]["file"] == str(output)
    after = load_or_raise(shop, overlays=[output])
    tap = next(one for one in found["rates"] if one["cause"] == "tap-shut")
    assert tap["low"] < tap["after"] < tap["high"]
    assert after.causes[tap["cause"]].rate == pytest.approx(tap["after"], rel=0.01)
    code, out, _ = say("learn", "--trust", came_with)
    assert code == 0
    assert "Rates: recommended; learning helps" in out
    assert "Chances: not recommended" in out


def test_one_import_of_the_same_case_moves_little_and_is_undone_as_one(say: Say, tmp_path: Path) -> None:
    file = tmp_path / "flood.csv"
    line = "2026-03-01,moped,will-not-start,tap-shut,,12\n"
    file.write_text(HEADING + line * 100)
    say(*BY_HAND, "--saw", "plug-look=sooty")
    came_with = data(say("import", file, "--json"))["import"]
    output = tmp_path / "learned.yaml"
    found = data(say("learn", "-o", output, "--json"))
    tap = next(rate for rate in found["rates"] if rate["cause"] == "tap-shut")
    assert tap["cases"] <= 20
    doubted = any("--accept tap-shut" in left for left in found["overlay"]["left_out"])
    assert doubted or tap["after"] < 2 * tap["before"]
    assert came_with in say("undo")[1]
    assert say("undo", came_with)[1] == f"100 cases of {came_with} taken out\n"
    assert say("list")[1].endswith("1 case\n")
    assert say("undo", came_with)[0] == 1


def test_learning_never_writes_into_the_library(say: Say, shop: Path) -> None:
    code, _, errors = say("learn", "-o", shop / "tree.yaml")
    assert code == 2
    assert "this lies in the library itself" in errors


def test_there_is_nothing_to_learn_without_cases(say: Say, tmp_path: Path) -> None:
    code, out, _ = say("learn", "-o", tmp_path / "learned.yaml")
    assert code == 1
    assert "There is nothing to learn from" in out
    assert not (tmp_path / "learned.yaml").exists()


def test_a_closed_case_is_corrected_in_one_go_or_not_at_all(say: Say) -> None:
    id_ = data(say(*BY_HAND, "--saw", "plug-look=sooty", "--minutes", "25", "--json"))["id"]
    before = data(say("show", id_, "--json"))
    after = data(say("correct", id_, "--cause", "tap-shut", "--confirmed", "likely", "--json"))
    assert after["causes"] == [["tap-shut"]]
    assert after == data(say("show", id_, "--json"))
    assert {key for key in after if after[key] != before[key]} == {"causes", "confirmed"}
    assert after["seen"] == before["seen"]
    assert say("correct", id_, "--cause", "dragon")[0] == 1
    assert say("correct", id_)[0] == 2
    assert say("correct", "nothing", "--cause", "tap-shut")[0] == 1
    assert data(say("list", "--json")) == [after]
