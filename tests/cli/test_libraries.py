"""Which library a command works with."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from kickover import load
from kickover.authoring.profiles import machine_text
from kickover.cli.main import run
from kickover.core.ids import MachineId
from kickover.model.library import Library

LEARNED = """\
causes:
  source-coil-open:
    rate: 60
"""


@pytest.fixture(autouse=True)
def _own_home(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("KICKOVER_HOME", str(tmp_path / "home"))


def ranked(capsys: pytest.CaptureFixture[str], *more: str) -> dict[str, float]:
    asked = ["rank", "no-spark-seen", "--machine", "clip-on-two-stroke", "--top", "99", "--json"]
    assert run([*asked, *more]) == 0
    return {load["id"]: load["probability"] for load in json.loads(capsys.readouterr().out)["causes"]}


def test_an_overlay_changes_what_it_names_and_nothing_else(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    learned = tmp_path / "learned.yaml"
    learned.write_text(LEARNED, encoding="utf-8")
    before, after = ranked(capsys), ranked(capsys, "--overlay", str(learned))
    assert after["source-coil-open"] > 2 * before["source-coil-open"]
    assert set(after) == set(before)


def test_a_missing_overlay_is_wrong_usage(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["list", "kits", "--overlay", "nowhere.yaml"]) == 2
    assert "nowhere.yaml" in capsys.readouterr().err


ON_A_MACHINE = (
    ["rank", "no-power"],
    ["pack", "--grams", "300"],
    ["service"],
    ["draw", "tree", "no-power"],
    ["draw", "chart", "no-power", "--pages", "1"],
)
"""Commands that take a machine."""


@pytest.mark.parametrize("command", ON_A_MACHINE, ids=" ".join)
def test_every_command_takes_a_machine_of_ones_own(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, yard_folder: Path, yard: Library, command: list[str]
) -> None:
    mine = replace(yard.machines[MachineId("moped")], id=MachineId("mine"), title="Mine")
    file = tmp_path / "home" / "machines" / "mine.yaml"
    file.parent.mkdir(parents=True)
    file.write_text(machine_text(mine, yard), encoding="utf-8")
    assert run([*command, "--machine", "mine", "--library", str(yard_folder)]) == 0
    assert run(["list", "machines", "--library", str(yard_folder)]) == 0
    assert "Mine" in capsys.readouterr().out
    assert load(yard_folder, machines=file.parent).machine("mine").title == "Mine"


@pytest.mark.parametrize("command", [*ON_A_MACHINE, ["drill", "no-power"]], ids=" ".join)
def test_every_command_tells_of_a_broken_overlay(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, yard_folder: Path, command: list[str]
) -> None:
    broken = tmp_path / "broken.yaml"
    broken.write_text("causes:\n  chain-loose: {rate: seldom}\n", encoding="utf-8")
    assert run([*command, "--machine", "moped", "--library", str(yard_folder), "--overlay", str(broken)]) == 1
    assert f"{broken}:2: `seldom` is no rate word" in capsys.readouterr().err
