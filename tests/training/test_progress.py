"""Results, what comes back, the class list, and the files in which they are kept."""

from __future__ import annotations

import csv
import io
from contextlib import suppress
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kickover.core.ids import EventId, LessonId, MachineId
from kickover.core.problem import SourcePlace
from kickover.model.library import Lesson
from kickover.training.progress import DrillResult, class_list, next_exercise, standings
from kickover.training.results import RecordError, as_csv, keep, read

BASE = DrillResult(
    on="2031-05-01",
    learner="Mira",
    exercise="easy",
    complaint="will-not-start",
    machine="moped",
    level=1,
    seed=7,
    faults=("plug-fouled",),
    named=("plug-fouled",),
    cured=True,
    mastered=True,
    minutes=12.0,
    expected=10.0,
    given_away=1.0,
    dangers=(),
    hints=0,
    moves=3,
    version="1.0",
)
TODAY = date(2031, 5, 10)


def lesson(name: str, level: int) -> Lesson:
    return Lesson(LessonId(name), name, "", level, EventId("a"), MachineId("b"), (), SourcePlace("x", 1))


LESSONS = [lesson("hard", 4), lesson("easy", 1), lesson("middle", 2)]


def test_a_beginner_starts_with_the_easiest_lesson_and_goes_on_to_the_next() -> None:
    assert next_exercise([], LESSONS, TODAY) == "easy"
    assert next_exercise([replace(BASE, on="2031-05-10")], LESSONS, TODAY) == "middle"


def test_what_went_wrong_comes_back_before_anything_new() -> None:
    failed = [replace(BASE, on="2031-05-08", mastered=False)]
    assert next_exercise(failed, LESSONS, TODAY) == "easy"
    assert standings(failed, TODAY)[0].due == date(2031, 5, 9)


def test_free_practice_is_never_put_in_the_place_of_a_lesson() -> None:
    assert (
        next_exercise([replace(BASE, exercise="will-not-start@moped", mastered=False)], LESSONS, TODAY)
        == "easy"
    )
    assert next_exercise([], [], TODAY) == ""


def test_the_class_list_has_a_row_a_learner() -> None:
    results = [
        BASE,
        replace(
            BASE,
            exercise="middle",
            mastered=False,
            given_away=8.0,
            dangers=("fuel-vapour", "brakes-looked-over"),
        ),
        replace(BASE, learner="anders", cured=False, mastered=False),
    ]
    rows = class_list(results, TODAY)
    assert [row.learner for row in rows] == ["anders", "Mira"]
    mira = rows[1]
    assert (mira.drills, mira.cured, mira.dangers, mira.known, mira.due) == (2, 2, 2, 0, 2)
    assert mira.given_away == pytest.approx(4.5)


def test_results_are_kept_and_read_back_by_learner(tmp_path: Path) -> None:
    other = replace(BASE, learner="Søren Å", on="2031-04-01")
    for one in (BASE, other):
        keep(tmp_path, one)
    assert read(tmp_path) == ((other, BASE), ())
    assert read(tmp_path, "søren  å") == ((other,), ())
    assert read(tmp_path, "nobody") == ((), ())


def test_a_torn_line_loses_nothing_else(tmp_path: Path) -> None:
    keep(tmp_path, BASE)
    path = next(tmp_path.iterdir())
    path.write_bytes(path.read_bytes() + b'{"on": "2031-')
    keep(tmp_path, replace(BASE, seed=8))
    results, wrong = read(tmp_path)
    assert [result.seed for result in results] == [7, 8]
    assert wrong == (f"{path}:2: this result cannot be read; it is left out",)


@given(st.binary(max_size=80))
def test_a_foreign_line_is_left_out_and_named(tmp_path_factory: pytest.TempPathFactory, line: bytes) -> None:
    folder = tmp_path_factory.mktemp("learners")
    keep(folder, BASE)
    path = next(folder.iterdir())
    path.write_bytes(path.read_bytes() + line.replace(b"\n", b" ") + b"\n")
    results, wrong = read(folder)
    assert results == (BASE,)
    assert len(wrong) == bool(line.strip().replace(b"\n", b""))


@pytest.mark.parametrize("name", ["../../etc/passwd", "a/b", "..", "con\u202e", "x" * 61, " ", "a\x00b"])
def test_a_name_never_leads_out_of_the_folder(tmp_path: Path, name: str) -> None:
    folder = tmp_path / "learners"
    with suppress(RecordError):
        keep(folder, replace(BASE, learner=name))
    assert all(path.parent in {folder, tmp_path} for path in tmp_path.rglob("*"))


def test_a_folder_that_cannot_be_written_is_said_in_words(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file")
    with pytest.raises(RecordError, match="set KICKOVER_HOME"):
        keep(tmp_path / "taken", BASE)


def test_csv_has_a_header_and_a_row_a_drill_and_runs_nothing(tmp_path: Path) -> None:
    text = as_csv([BASE, replace(BASE, learner="=cmd()", faults=("a", "b"))])
    rows = list(csv.DictReader(io.StringIO(text)))
    assert [row["learner"] for row in rows] == ["Mira", "'=cmd()"]
    assert rows[1]["faults"] == "a b"
