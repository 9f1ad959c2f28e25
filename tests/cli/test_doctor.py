"""`kickover doctor`: each thing that the program stands on, said to be well or with what to do."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from cli.typed import walked
from kickover.cli.doctor import looked_over
from kickover.cli.main import run
from worlds.tiny_library import spoil


def todo(capsys: pytest.CaptureFixture[str]) -> dict[str, str]:
    found = json.loads(capsys.readouterr().out)
    assert all(one["ok"] is not bool(one["todo"]) for one in found)
    return {one["subject"]: one["todo"] for one in found if one["todo"]}


def test_in_a_home_of_its_own_all_is_well(
    yard_folder: Path, home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert walked(monkeypatch, yard_folder, "note hello\nquit\n") == 0
    capsys.readouterr()
    assert run(["doctor", "--library", str(yard_folder)]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert all(line.startswith("ok ") for line in lines)
    assert f"ok   walks: {home}/walks: yours alone" in lines
    assert "ok   saved walks: 1 can be read" in lines


def test_each_trouble_comes_with_what_to_do(
    tmp_path: Path, home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    broken = spoil(tmp_path, "tree.yaml", "rate: rare", "rate: seldom")
    for name, mode in (("walks", 0o755), ("machines", 0o777), ("cache", 0o777)):
        (home / name).mkdir(parents=True)
        (home / name).chmod(mode)
    (home / "walks" / "half.walk").write_bytes(b"{")
    monkeypatch.setenv("COLUMNS", "20")
    assert run(["doctor", "--library", str(broken), "--json"]) == 1
    assert todo(capsys) == {
        "library": f"run `kickover check {broken}`",
        "cache": f"run `chmod go-rwx '{home}/cache'`",
        "walks": f"run `chmod go-rwx '{home}/walks'`",
        "machines": f"run `chmod go-rwx '{home}/machines'`",
        "saved walks": "delete what cannot be read with `kickover walks delete NAME`",
        "width": "widen the window to 40 or more",
    }


def test_a_full_disk_and_a_narrow_encoding_are_seen(
    yard_folder: Path, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert not home.exists()
    monkeypatch.setattr("kickover.cli.doctor.LEAST_FREE", 10**18)
    monkeypatch.setattr("sys.stdout", io.TextIOWrapper(io.BytesIO(), "ascii"))
    assert {one.subject for one in looked_over(yard_folder) if one.todo} == {"cache", "encoding"}


@pytest.mark.usefixtures("home")
def test_without_any_dot_it_says_how_to_get_one(yard_folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("kickover.cli.doctor.bundled_dot", lambda: None)
    found = {one.subject: one for one in looked_over(yard_folder, lambda _name: None)}
    assert found["dot"].todo == "install Graphviz, or graphviz-pure by pip"
    assert found["chromium"].todo == ""
