from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from draw.small_tree_library import courier_library
from kickover import api
from kickover.cli import draw as command
from kickover.cli import main


@pytest.fixture(autouse=True)
def _courier_library(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(command, "load", lambda _: api.Loaded(courier_library()))


def run(*arguments: str) -> Result:
    return CliRunner().invoke(command.draw, list(arguments))


def test_without_a_file_the_dot_text_is_printed() -> None:
    result = run("tree", "ignition")
    assert result.exit_code == 0
    assert result.stdout.startswith("digraph drawing {")


@pytest.mark.parametrize(
    ("ending", "begins"), [("svg", b"<?xml"), ("pdf", b"%PDF-"), ("png", b"\x89PNG"), ("dot", b"digraph")]
)
def test_the_ending_of_the_file_tells_what_is_drawn(tmp_path: Path, ending: str, begins: bytes) -> None:
    file = tmp_path / f"tree.{ending}"
    result = run("tree", "will-not-start", "--machine", "hill-clip-on", "-o", str(file))
    assert (result.exit_code, result.output) == (0, "")
    assert file.read_bytes().startswith(begins)


def test_a_file_of_an_unknown_kind_is_wrong_usage(tmp_path: Path) -> None:
    result = run("tree", "ignition", "-o", str(tmp_path / "tree.bmp"))
    assert result.exit_code == 2
    assert "end its name in one of .svg, .png, .pdf, .dot" in result.stderr
    assert list(tmp_path.iterdir()) == []


def test_json_names_what_goes_on_elsewhere() -> None:
    data = json.loads(run("tree", "will-not-start", "--json").stdout)
    assert data["goes_on_in"] == ["no-spark", "no-fuel"]
    assert data["dot"].startswith("digraph")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [(["tree", "no-sparks"], "did you mean no-spark"),
     (["tree", "fuel", "--machine", "hill-clip"], "hill-clip-on")],
)  # fmt: skip
def test_an_unknown_name_is_one_line_with_the_nearest_name(
    arguments: list[str], said: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(main, "COMMANDS", {"draw": "kickover.cli.draw"})
    assert main.run(["draw", *arguments]) == 1
    shown = capsys.readouterr()
    assert shown.out == ""
    assert shown.err.count("\n") == 1
    assert said in shown.err


def test_all_trees_are_drawn_once_and_checked(tmp_path: Path) -> None:
    assert run("all", str(tmp_path), "--check").exit_code == 1
    assert "5 of 5 drawn again" in run("all", str(tmp_path)).stdout
    assert run("all", str(tmp_path), "--check").exit_code == 0
    assert "0 of 5 drawn again" in run("all", str(tmp_path)).stdout
