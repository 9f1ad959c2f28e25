"""`kickover new library`: what an author begins with checks clean and works in every command."""

from __future__ import annotations

from pathlib import Path

import pytest

from cli.typed import run_typed
from kickover.cli.main import run


@pytest.fixture
def lamp(home: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    """A library that was just begun."""
    folder = tmp_path / "libraries" / "lamp"
    assert run(["new", "library", str(folder)]) == 0
    assert "Next: kickover check" in capsys.readouterr().out
    return folder


def test_it_checks_clean_and_explains_itself(lamp: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["check", str(lamp)]) == 0
    assert "no problems in 1 complaints, 3 causes" in capsys.readouterr().out
    texts = [path.read_text(encoding="utf-8") for path in lamp.glob("*.yaml")]
    assert all("#" in text for text in texts)
    assert sum(len(text.splitlines()) for text in texts) < 250


@pytest.mark.parametrize(
    "words",
    [
        ("rank", "lamp-dark", "--machine", "town-bicycle", "--saw", "bulb-look=broken"),
        ("draw", "tree", "light"),
        ("draw", "chart", "lamp-dark", "--machine", "town-bicycle", "-o", "chart.pdf"),
        ("draw", "booklet", "--machine", "town-bicycle", "-o", "booklet.pdf"),
        ("service", "--machine", "town-bicycle"),
        ("show", "wire-off"),
    ],
)
def test_every_command_works_with_it(
    lamp: Path, words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run([*words, "--library", str(lamp)]) == 0


def test_a_walk_with_it_ends_with_a_cure(
    lamp: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    walk = ("walk", "lamp-dark", "--machine", "town-bicycle", "--library", str(lamp), "--plain")
    assert run_typed(monkeypatch, "saw the thread is broken\n" + "1\n" * 12, *walk) == 0
    assert "Fit a new bulb" in capsys.readouterr().out


def test_a_slip_is_told_with_its_line(lamp: Path, capsys: pytest.CaptureFixture[str]) -> None:
    work = lamp / "work.yaml"
    text = work.read_text(encoding="utf-8")
    work.write_text(text.replace("cures: [bulb-blown]", "cures: [bulb-blwn]"), encoding="utf-8")
    assert run(["check", str(lamp)]) == 1
    told = capsys.readouterr().out
    line = 1 + text[: text.index("cures: [bulb-blown]")].count("\n")
    assert f"work.yaml:{line}:" in told
    assert "did you mean `bulb-blown`" in told


def test_nothing_is_written_over(lamp: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["new", "library", str(lamp)]) == 1
    assert "is not empty" in capsys.readouterr().err
    assert run(["new", "library", str(lamp / "kit.yaml" / "x")]) == 1
