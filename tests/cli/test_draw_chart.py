"""`kickover draw chart` and `booklet`, as they are typed."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from kickover.cli import main

SHORT = ("no-spark-seen", "--machine", "points-moped", "--kit", "pouch", "--pages", "1")


def chart(*arguments: str) -> int:
    return main.run(["draw", "chart", *arguments])


@pytest.mark.parametrize(
    ("ending", "begins"),
    [("svg", b"<svg"), ("pdf", b"%PDF"), ("png", b"\x89PNG"), ("html", b"<!doctype html>")],
)
def test_the_ending_of_the_file_tells_what_is_drawn(ending: str, begins: bytes, tmp_path: Path) -> None:
    file = tmp_path / f"chart.{ending}"
    assert chart(*SHORT, "-o", str(file)) == 0
    assert file.read_bytes().startswith(begins)


def test_without_a_file_it_says_what_the_pages_mend(capsys: pytest.CaptureFixture[str]) -> None:
    assert chart(*SHORT, "--json") == 0
    (row,) = json.loads(capsys.readouterr().out)
    assert row["pages"] == 1
    assert 0.0 < row["mended"] < 1.0


def test_a_card_and_the_steps_in_full_are_printed(tmp_path: Path) -> None:
    card, whole, plain = tmp_path / "card.pdf", tmp_path / "whole.pdf", tmp_path / "plain.pdf"
    assert chart(*SHORT, "--card", "-o", str(card)) == 0
    assert chart(*SHORT, "--with-how-to", "-o", str(whole)) == 0
    assert chart(*SHORT, "-o", str(plain)) == 0
    assert whole.stat().st_size > plain.stat().st_size


@pytest.mark.parametrize(
    ("arguments", "code", "words"),
    [
        ((*SHORT, "-o", "chart.bmp"), 2, "end its name in one of"),
        (("no-sprk-seen", "--machine", "points-moped"), 1, "did you mean 'no-spark-seen'?"),
        ((*SHORT, "-o", "/nowhere/chart.svg"), 1, "its folder does not exist"),
        ((*SHORT, "--tools", "plug"), 2, "not both"),
        (
            ("no-spark-seen", "--machine", "points-moped", "--tools", "plug-sockt"),
            1,
            "did you mean 'plug-socket'?",
        ),
    ],
)
def test_wrong_usage_is_answered_in_words(
    arguments: tuple[str, ...], code: int, words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert chart(*arguments) == code
    assert words in capsys.readouterr().err
