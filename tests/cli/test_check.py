"""`kickover check` prints every problem of one run, for people and as JSON."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from kickover.cli.main import run
from worlds.tiny_library import spoil, write_library


def test_a_library_without_problems_is_counted(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = write_library(tmp_path)
    assert run(["check", str(folder)]) == 0
    assert capsys.readouterr().out == (
        f"{folder}: no problems in 1 complaints, 3 causes, 3 checks, 3 repairs\n"
    )


def test_every_problem_is_one_line_and_they_are_counted(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = spoil(tmp_path, "tree.yaml", "rate: rare", "rade: rare")
    assert run(["check", str(folder)]) == 1
    *problems, count = capsys.readouterr().out.splitlines()
    assert len(problems) == 2
    assert all(line.startswith(f"{folder}/tree.yaml:21: ") for line in problems)
    assert count == "2 problems"


def test_one_problem_is_counted_as_one(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["check", str(spoil(tmp_path, "tree.yaml", "rate: rare", "rate: seldom"))]) == 1
    assert capsys.readouterr().out.splitlines()[-1] == "1 problem"


def test_json_prints_the_same_problems_as_data(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = spoil(tmp_path, "tree.yaml", "rate: rare", "rate: seldom")
    assert run(["check", str(folder), "--json"]) == 1
    assert json.loads(capsys.readouterr().out) == [
        {
            "file": f"{folder}/tree.yaml",
            "line": 21,
            "path": "causes/rings-worn/rate",
            "message": "`seldom` is no rate word",
            "hint": "write one of common, rare, or a number",
        }
    ]


def test_json_of_a_library_without_problems_is_an_empty_list(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["check", "--library", str(write_library(tmp_path)), "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == []


def test_a_folder_that_is_not_there_is_a_problem(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["check", str(tmp_path / "gone")]) == 1
    assert capsys.readouterr().out.splitlines()[0] == (
        f"{tmp_path}/gone:1: the folder is not there; name a folder that holds `*.yaml` files"
    )


def test_without_a_folder_the_shipped_library_is_checked(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["check"]) == 0
    assert "no problems in" in capsys.readouterr().out


def test_the_module_can_be_run(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "kickover.cli.main", "check", str(write_library(tmp_path))]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


def test_watching_checks_anew_when_a_file_is_written_and_only_then(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = write_library(tmp_path)
    looks = []

    def pause(_seconds: float) -> None:
        looks.append(capsys.readouterr().out)
        if len(looks) == 2:
            spoil(tmp_path, "tree.yaml", "rate: rare", "rate: seldom")
        if len(looks) == 4:
            raise KeyboardInterrupt

    monkeypatch.setattr("kickover.cli.check.pause", pause)
    assert run(["check", str(folder), "--watch"]) == 130
    first, unchanged, changed, unchanged_again = looks
    assert "no problems" in first
    assert "no rate word" in changed
    assert unchanged == unchanged_again == ""
