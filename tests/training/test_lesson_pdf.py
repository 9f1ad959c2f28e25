"""A lesson on paper: the sheet gives nothing away, and the key answers as the bench does."""

from __future__ import annotations

import io
from functools import cache
from pathlib import Path

import pdfplumber
import pytest

from documents.page_geometry import faults_of
from kickover.cli.main import run
from kickover.core.ids import LessonId
from kickover.model.library import Library
from kickover.session.history import finding_in_words
from kickover.session.session import Session
from kickover.training.best_plan import Planner
from kickover.training.exercise import Exercise, from_lesson, set_up
from kickover.training.lesson_pdf import answer_key_pdf, lesson_sheet_pdf
from kickover.training.practice import Practice

LESSON = LessonId("no-spark-split-it")


@cache
def text_of(content: bytes) -> str:
    """The words of the pages, column by column."""
    words: list[str] = []
    with pdfplumber.open(io.BytesIO(content)) as pdf:
        for page in pdf.pages:
            half = page.width / 2
            for left, right in ((0, half), (half, page.width)):
                words += (page.crop((left, 0, right, page.height)).extract_text() or "").split()
    return " ".join(words)


@pytest.fixture(scope="module")
def exercise(shipped: Library) -> Exercise:
    return from_lesson(shipped, shipped.lessons[LESSON])


def practice(shipped: Library, exercise: Exercise, seed: int) -> Practice:
    return set_up(shipped, exercise, seed)


def test_the_sheet_is_the_same_whatever_is_hidden(shipped: Library, exercise: Exercise) -> None:
    sheets = set()
    for seed in (1, 2, 3, 5):
        made = lesson_sheet_pdf(shipped, exercise, practice(shipped, exercise, seed))
        assert faults_of(made) == []
        sheets.add(text_of(made).replace(f"Engine {seed}", ""))
    assert len(sheets) == 1
    (sheet,) = sheets
    assert exercise.machine.title in sheet
    assert shipped.hazards[shipped.complaints[exercise.complaint].proof.hazards[0]].title in sheet
    assert all(shipped.title_of(fault) not in sheet for fault in exercise.faults)
    assert any(drawing.title in sheet for drawing in shipped.drawings.values())


def test_the_key_names_the_fault_and_the_findings_of_the_bench(shipped: Library, exercise: Exercise) -> None:
    begun = practice(shipped, exercise, 3)
    printed = answer_key_pdf(shipped, exercise, begun, Planner())
    assert faults_of(printed) == []
    key = text_of(printed)
    for cause in begun.engine.causes:
        assert shipped.title_of(cause) in key
    assert "the complaint is gone" in key
    assert all(" ".join(hint.split()) in key for hint in exercise.hints)
    made = begun.check("kill-switch-in-run").session
    assert isinstance(made, Session)
    shown = finding_in_words(made, made.entries[-1])  # type: ignore[arg-type]
    title = shipped.checks[made.evidence[-1].check].title
    assert f"{title} {shown}" in key


def test_the_command_prints_both_and_says_which_engine(
    home: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    files = ("--sheet", str(tmp_path / "sheet.pdf"), "--key", str(tmp_path / "key.pdf"))
    assert run(["drill", "--lesson", LESSON, "--seed", "3", *files, "--paper", "letter"]) == 0
    assert "--seed 3" in capsys.readouterr().out
    for name in ("sheet.pdf", "key.pdf"):
        with pdfplumber.open(tmp_path / name) as pdf:
            assert (float(pdf.pages[0].width), float(pdf.pages[0].height)) == (792.0, 612.0)
            assert "Engine 3" in (pdf.pages[0].extract_text() or "")
    assert run(["drill", "--lesson", LESSON, "--sheet", str(tmp_path / "sheet.doc")]) == 2
