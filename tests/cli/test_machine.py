"""`kickover machine`: what is written can be used, shown, checked and changed."""

from __future__ import annotations

from pathlib import Path

import pytest

from cli.typed import run_typed
from kickover.api import load
from kickover.cli.main import run
from kickover.core.ids import FigureId


@pytest.fixture
def grey(home: Path) -> Path:
    """A machine of one's own, of which the ratio is a plain number."""
    path = home / "machines" / "grey-one.yaml"
    path.parent.mkdir(parents=True)
    path.write_text(
        "machine:\n  id: grey-one\n  title: Grey one\n  traits: [two-stroke]\n"
        "  figures: {compression-ratio: 7, bore: 40 mm}\n",
        encoding="utf-8",
    )
    return path


def test_a_plain_number_is_taken_where_a_figure_has_no_unit(
    grey: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["machine", "check", str(grey)]) == 0
    assert "can be used" in capsys.readouterr().out
    grey.write_text(grey.read_text(encoding="utf-8").replace("40 mm", "40"), encoding="utf-8")
    assert run(["machine", "check", str(grey)]) == 1
    assert "write it in mm" in capsys.readouterr().out


def test_a_walk_on_it_goes_on_where_it_was_left(grey: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    walk = ("walk", "no-spark-seen", "--machine", "grey-one", "--plain")
    assert run_typed(monkeypatch, "note x\nquit\n", *walk) == 0
    assert run_typed(monkeypatch, "quit\n", "walk", "--resume", "--plain") == 0


def test_a_machine_is_shown_and_what_can_hardly_be_meant_is_told(
    grey: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["machine", "edit", "grey-one", "bore=400", "compression-ratio="]) == 0
    assert "Look again: Bore" in capsys.readouterr().err
    assert run(["machine", "show", "grey-one"]) == 0
    printed = capsys.readouterr().out
    assert "Bore: 400 mm" in printed
    assert "counts when" in printed
    assert ", assumed" in printed
    assert "Look again: Bore" in printed
    assert FigureId("compression-ratio") not in load(machines=grey.parent).machine("grey-one").figures


def test_a_machine_is_changed_step_by_step(grey: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    typed = "Greyer\n" + "\n" * 30 + "rest\n"
    assert run_typed(monkeypatch, typed, "machine", "edit", "grey-one", "--plain") == 0
    changed = load(machines=grey.parent).machine("grey-one")
    assert changed.title == "Greyer"
    assert changed.figures[FigureId("compression-ratio")].value == 7


def test_what_cannot_be_changed_is_said(grey: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["machine", "edit", "points-moped", "bore=40"]) == 1
    assert "belongs to the library" in capsys.readouterr().err
    assert run(["machine", "edit", "grey-one", "boer=40"]) == 1
    assert "did you mean 'bore'" in capsys.readouterr().err
    assert run(["machine", "edit", "grey-one", "bore=5 psi"]) == 1
    before = grey.read_text(encoding="utf-8")
    assert run(["machine", "edit", "grey-one", "compression-ratio=0.01"]) == 1
    assert "not saved" in capsys.readouterr().err
    assert grey.read_text(encoding="utf-8") == before
