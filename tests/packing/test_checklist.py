"""The service list: the right parts in their order, with the machine's own figures, on paper and as text."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import cache

import pdfplumber
import pytest

from kickover.core.ids import MachineId
from kickover.documents.paper import PaperError
from kickover.packing.checklist import Checklist, checklist
from kickover.packing.checklist_text import markdown, text_lines
from kickover.packing.printed import checklist_pdf
from worlds.packing_library import library, machine
from worlds.shipped_library import shipped

NAMES = ("clip-on-two-stroke", "electric-step-through", "four-stroke-49", "points-moped", "roller-two-stroke")


@cache
def made(name: str) -> Checklist:
    return checklist(shipped(), shipped().machines[MachineId(name)])


def titles(name: str) -> set[str]:
    return {task.title for part in made(name).parts for task in part.tasks}


def test_parts_run_from_every_ride_to_the_longest_interval() -> None:
    parts = [part.title for part in checklist(library(), machine()).parts]
    assert parts == ["Every 20 hours", "Every 100 hours or 12 months, whichever comes first"]
    assert made("clip-on-two-stroke").parts[0].title == "Before every ride"


def test_a_machine_gets_the_jobs_of_its_own_kind() -> None:
    assert "Mix fuel and oil by measure" in titles("clip-on-two-stroke")
    assert "Mix fuel and oil by measure" not in titles("four-stroke-49")
    assert "Set the valve clearances, engine cold" in titles("four-stroke-49")
    assert "Clean the points, set their gap, grease the cam felt" in titles("points-moped")
    assert "Fit new diaphragms" in titles("roller-two-stroke")
    assert "Fit a new battery" in titles("electric-step-through")


def test_figures_are_those_of_the_machine_with_both_units() -> None:
    said = "\n".join(text_lines(made("clip-on-two-stroke")))
    assert "Engine mount bolts: 9 N·m (6.6 ft·lb)" in said
    assert "25 to 1, 40 ml (1.4 US fl oz) of oil to" in said


def figures_of(made: Checklist) -> list[str]:
    return [line for part in made.parts for task in part.tasks for line in task.figures]


def test_a_figure_that_the_machine_does_not_state_is_marked_as_assumed() -> None:
    assert figures_of(checklist(library(), machine())) == ["Good pressure: 8 bar (116 psi)"]
    silent = replace(machine(), figures={})
    assumed = "Good pressure: 7 bar (102 psi) (assumed; the maker's figure goes before it)"
    assert figures_of(checklist(library(), silent)) == [assumed]


@pytest.mark.parametrize("name", NAMES)
def test_every_hazard_of_a_task_has_its_caution_on_the_list(name: str) -> None:
    cautions = {caution.title for caution in made(name).cautions}
    for part in made(name).parts:
        for task in part.tasks:
            assert cautions.issuperset(task.hazards)


def test_habits_are_notes_that_no_task_covers() -> None:
    notes = dict(made("clip-on-two-stroke").notes)
    assert len(notes) >= 15
    kept = {title for part in made("clip-on-two-stroke").parts for task in part.tasks for title in task.keeps}
    assert "Tank empty, or below the outlet" in kept
    assert "Tank empty, or below the outlet" not in notes


@pytest.mark.parametrize("width", [40, 78])
def test_no_line_of_text_is_wider_than_asked(width: int) -> None:
    assert max(len(line) for line in text_lines(made("points-moped"), width)) <= width


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_pdf_holds_every_task_inside_the_page(paper: str) -> None:
    raw = checklist_pdf(made("clip-on-two-stroke"), "2031-05-01", paper)
    with pdfplumber.open(io.BytesIO(raw)) as pdf:
        words = " ".join(" ".join((page.extract_text() or "").split()) for page in pdf.pages)
        for page in pdf.pages:
            assert all(char["x0"] >= 0 and char["x1"] <= page.width for char in page.chars)
            assert all(char["top"] >= 0 and char["bottom"] <= page.height for char in page.chars)
    for title in titles("clip-on-two-stroke"):
        assert title.split(",")[0] in words
    assert "N·m" in words
    assert "2031-05-01" in words


def test_the_same_list_and_date_give_the_same_file() -> None:
    one, two = (checklist_pdf(made("points-moped"), "2031-05-01") for _ in range(2))
    assert one == two


def test_a_paper_that_is_not_known_is_refused() -> None:
    with pytest.raises(PaperError, match="a4 or letter"):
        checklist_pdf(made("points-moped"), "2031-05-01", "napkin")


def test_markdown_has_a_box_a_task_and_a_table_of_torques() -> None:
    said = markdown(made("clip-on-two-stroke"))
    assert said.count("- [ ] **") == sum(len(part.tasks) for part in made("clip-on-two-stroke").parts)
    assert "| Engine mount bolts | 9 N·m (6.6 ft·lb) |" in said


def test_what_is_waited_for_is_told_apart_from_the_work() -> None:
    said = " ".join(" ".join(text_lines(made("clip-on-two-stroke"))).split())

    assert "About 3 hours, 2 hours of them waiting." in said


def test_jobs_that_are_done_once_stand_in_parts_of_their_own_in_the_order_of_the_hours() -> None:
    once = [part.title for part in made("clip-on-two-stroke").parts if part.title.startswith("Once")]

    assert once == [
        "Once, before its first ride",
        "Once, 20 minutes after it was built or taken apart",
        "Once, one hour after it was built or taken apart",
        "Once, 5 hours after it was built or taken apart",
        "Once, 10 hours after it was built or taken apart",
    ]
