"""`kickover service` as a person types it, on the demo machines."""

from __future__ import annotations

import io
import json
import subprocess
import sys
from pathlib import Path

import pdfplumber
import pytest

COMMAND = [sys.executable, "-m", "kickover.cli.main", "service"]


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([*COMMAND, *arguments], capture_output=True, text=True, check=False, timeout=120)


def test_the_list_on_the_terminal() -> None:
    ended = run("--machine", "points-moped")
    assert ended.returncode == 0, ended.stderr
    assert ended.stdout.index("BEFORE EVERY RIDE") < ended.stdout.index("EVERY 20 HOURS")
    assert "[ ] Clean the points, set their gap, grease the cam felt" in ended.stdout
    assert "Contact points gap: 0.4 mm" in ended.stdout
    assert max(map(len, ended.stdout.splitlines())) <= 78


def test_the_list_as_a_pdf_with_its_date(tmp_path: Path) -> None:
    file = tmp_path / "service.pdf"
    ended = run(
        "--machine", "electric-step-through", "-o", str(file), "--date", "1 May 2031", "--paper", "letter"
    )
    assert ended.returncode == 0, ended.stderr
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
    ended = run(*arguments)
    assert ended.returncode == code
    assert words in ended.stderr
    assert "Traceback" not in ended.stderr
