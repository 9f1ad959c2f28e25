"""Every printed page that is shipped can be read: nothing under 8 points, on each other, on a line, or cut.

Judged by the places of letters and lines as another library reads them back, and by the dots of each page.
Fault trees are shipped as pictures, and cut into sheets here.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path

import pytest
from reportlab.pdfgen.canvas import Canvas

from documents.page_geometry import faults_of
from kickover.documents.paper import PAPERS
from kickover.documents.trees.tree_sheets import tree_pdf

DIAGRAMS = Path(__file__).parents[2] / "diagrams"
PRINTED = sorted(DIAGRAMS.glob("*.pdf"))
TREES = sorted([*DIAGRAMS.glob("tree-*.svg"), *DIAGRAMS.glob("event-*.svg")])


def test_there_are_sheets_cards_and_trees_to_judge() -> None:
    assert len([one for one in PRINTED if one.name.startswith("sheets-")]) >= 4
    assert len([one for one in PRINTED if one.name.startswith("card-")]) >= 4
    assert len(TREES) > 20


@pytest.mark.parametrize("printed", PRINTED, ids=lambda one: one.stem)
def test_sheets_and_cards_can_be_read(printed: Path) -> None:
    assert faults_of(printed.read_bytes()) == []


@pytest.mark.parametrize("tree", TREES, ids=lambda one: one.stem)
def test_sheets_of_a_fault_tree_can_be_read(tree: Path) -> None:
    paper = list(PAPERS)[len(tree.stem) % len(PAPERS)]
    title = f"Fault tree: {tree.stem.replace('-', ' ')}"
    assert (
        faults_of(tree_pdf(tree.read_bytes(), title, "Library, version 1.0", "25 November 2026", paper)) == []
    )


def sound(canvas: Canvas) -> None:
    canvas.rect(90, 90, 120, 40)
    canvas.drawString(100, 100, "Spark plug")


def small(canvas: Canvas) -> None:
    canvas.setFontSize(7.5)
    canvas.drawString(100, 200, "Small print")


def shrunk(canvas: Canvas) -> None:
    canvas.scale(0.6, 0.6)
    canvas.drawString(300, 300, "Shrunk")


def off_the_page(canvas: Canvas) -> None:
    canvas.drawString(575, 300, "Beyond the edge")


def on_each_other(canvas: Canvas) -> None:
    canvas.drawString(100, 200, "Petrol tap")
    canvas.drawString(103, 203, "Fuel line")


def out_of_its_box(canvas: Canvas) -> None:
    canvas.rect(90, 190, 40, 30)
    canvas.drawString(100, 200, "Carburettor")


def out_of_its_rounded_box(canvas: Canvas) -> None:
    canvas.roundRect(90, 190, 120, 30, 14)
    canvas.drawString(91, 192, "Carburettor")


def out_of_its_frame(canvas: Canvas) -> None:
    frame = canvas.beginPath()
    frame.rect(90, 190, 40, 30)
    canvas.clipPath(frame, stroke=0)
    canvas.drawString(100, 200, "Carburettor")


def painted_over(canvas: Canvas) -> None:
    canvas.drawString(100, 200, "Carburettor")
    canvas.setFillGray(1)
    canvas.rect(110, 195, 20, 20, stroke=0, fill=1)


def over_the_edge(canvas: Canvas) -> None:
    canvas.circle(595, 400, 30)


def one_page(*drawn: Callable[[Canvas], None]) -> bytes:
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=(595, 842))
    for draw in drawn:
        canvas.saveState()
        draw(canvas)
        canvas.restoreState()
    canvas.showPage()
    canvas.save()
    return stream.getvalue()


def test_a_sound_page_is_found_sound() -> None:
    assert faults_of(one_page(sound)) == []


@pytest.mark.parametrize(
    ("broken", "says"),
    [
        (small, "has 7.5 points"),
        (shrunk, "has 7.2 points"),
        (off_the_page, "is at the edge"),
        (on_each_other, "are on each other"),
        (out_of_its_box, "a line runs through"),
        (out_of_its_rounded_box, "a line runs through"),
        (out_of_its_frame, "is cut"),
        (painted_over, "cannot be seen"),
        (over_the_edge, "something is cut at the edge"),
    ],
    ids=lambda one: getattr(one, "__name__", "says"),
)
def test_a_broken_page_is_found_broken(broken: Callable[[Canvas], None], says: str) -> None:
    found = faults_of(one_page(sound, broken))
    assert any(says in fault for fault in found), found


def test_an_empty_page_is_found_blank() -> None:
    assert faults_of(one_page()) == ["page 1: is blank"]
