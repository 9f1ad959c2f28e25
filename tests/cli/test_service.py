"""`kickover service` as a person types it, on the demo machines."""

from __future__ import annotations

import io
import json
from pathlib import Path
from subprocess import CompletedProcess

import pdfplumber
import pytest

from cli.typed import ended


@pytest.fixture(autouse=True)
def _in_a_home(home: Path) -> None:
    """What is kept lies there."""


def run(*arguments: str) -> CompletedProcess[str]:
    return ended("service", *arguments)


def test_the_list_on_the_terminal() -> None:
    done = run("--machine", "points-moped")
    assert done.returncode == 0, done.stderr
    assert done.stdout.index("BEFORE EVERY RIDE") < done.stdout.index("EVERY 20 HOURS")
    assert "[ ] Clean the points, set their gap, grease the cam felt" in done.stdout
    assert "Contact points gap: 0.4 mm" in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 78


def test_the_list_as_a_pdf_with_its_date(tmp_path: Path) -> None:
    file = tmp_path / "service.pdf"
    done = run(
        "--machine", "electric-step-through", "-o", str(file), "--date", "1 May 2031", "--paper", "letter"
    )
    assert done.returncode == 0, done.stderr
    with pdfplumber.open(io.BytesIO(file.read_bytes())) as pdf:
        first = pdf.pages[0]
        assert (float(first.width), float(first.height)) == (792.0, 612.0)
        words = first.extract_text()
    assert "Before every ride" in words
    assert "1 May 2031" in words


def test_the_list_as_markdown_and_json(tmp_path: Path) -> None:
    file = tmp_path / "service.md"
    said = json.loads(run("--machine", "roller-two-stroke", "-o", str(file), "--json").stdout)
    assert said["file"] == str(file)
    assert said["parts"][0]["title"] == "Before every ride"
    assert file.read_text(encoding="utf-8").startswith("# Service: Two-stroke roller-drive helper")


@pytest.mark.parametrize(
    ("arguments", "code", "words"),
    [
        ((), 2, "--machine"),
        (("--machine", "points-mopde"), 1, "did you mean 'points-moped'?"),
        (("--machine", "points-moped", "-o", "list.doc"), 2, "end its name in one of .pdf, .md"),
        (("--machine", "points-moped", "-o", "/nowhere/list.pdf"), 1, "its folder does not exist"),
    ],
)
def test_wrong_usage_is_answered_in_words(arguments: tuple[str, ...], code: int, words: str) -> None:
    done = run(*arguments)
    assert done.returncode == code
    assert words in done.stderr
    assert "Traceback" not in done.stderr
