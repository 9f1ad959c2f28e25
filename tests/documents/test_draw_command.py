from __future__ import annotations

import json
from pathlib import Path

import pytest

from documents.pdf_text import pages_of
from kickover import api
from kickover.cli import draw as command
from kickover.cli import main
from worlds.tree_library import courier_library


@pytest.fixture(autouse=True)
def _courier_library(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(command, "open_library", lambda _: api.Loaded(courier_library()))


def run(*arguments: str) -> int:
    return main.run(["draw", *arguments])


def test_without_a_file_the_dot_text_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("tree", "ignition") == 0
    assert capsys.readouterr().out.startswith('digraph "Fault tree Ignition" {')


@pytest.mark.parametrize(
    ("ending", "begins"), [("svg", b"<?xml"), ("pdf", b"%PDF-"), ("png", b"\x89PNG"), ("dot", b"digraph")]
)
def test_the_ending_of_the_file_tells_what_is_drawn(
    tmp_path: Path, ending: str, begins: bytes, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / f"tree.{ending}"
    assert run("tree", "will-not-start", "--machine", "hill-clip-on", "-o", str(file)) == 0
    assert capsys.readouterr().out == ""
    assert file.read_bytes().startswith(begins)


def test_a_file_of_an_unknown_kind_is_wrong_usage(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("tree", "ignition", "-o", str(tmp_path / "tree.bmp")) == 2
    assert "end its name in one of .svg, .png, .pdf, .dot" in " ".join(capsys.readouterr().err.split())
    assert list(tmp_path.iterdir()) == []


def test_json_names_what_goes_on_elsewhere(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("tree", "will-not-start", "--json") == 0
    data = json.loads(capsys.readouterr().out)
    assert data["goes_on_in"] == ["no-spark", "no-fuel"]
    assert data["dot"].startswith("digraph")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["tree", "no-sparks"], "did you mean no-spark"),
        (["tree", "fuel", "--machine", "hill-clip"], "hill-clip-on"),
        (["tree", "fuel", "-o", "/nowhere/tree.svg"], "its folder does not exist"),
    ],
)
def test_what_cannot_be_done_is_told_in_one_line(
    arguments: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(*arguments) == 1
    shown = capsys.readouterr()
    assert shown.out == ""
    assert shown.err.count("\n") == 1
    assert said in shown.err


def test_all_pictures_are_drawn_once_and_checked(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("all", str(tmp_path), "--check") == 1
    assert run("all", str(tmp_path)) == 0
    assert "\n11 drawn again" in capsys.readouterr().out
    assert run("all", str(tmp_path), "--check") == 0
    assert run("all", str(tmp_path)) == 0
    assert "0 drawn again" in capsys.readouterr().out


def test_a_tree_is_cut_into_sheets_of_a_paper(tmp_path: Path) -> None:
    file = tmp_path / "tree.pdf"
    assert run("tree", "will-not-start", "--paper", "letter", "-o", str(file)) == 0
    assert all((page.wide, page.high) == (792, 612) for page in pages_of(file.read_bytes()))
