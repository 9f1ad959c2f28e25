from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.graphics import renderPDF
from reportlab.graphics.shapes import Drawing, Group, Rect, String

from documents.page_geometry import lines_of_text
from documents.pdf_text import glyphs_of, pages_of
from kickover.authoring import load_or_raise, shipped_folder
from kickover.documents.paper import MARGIN, PaperError
from kickover.documents.renderer import render, svg_to_pdf
from kickover.documents.trees.fault_tree import draw_tree
from kickover.documents.trees.tree_sheets import (
    OVERLAP_HIGH,
    OVERLAP_WIDE,
    Frame,
    PlacedPicture,
    tiling,
    tree_pdf,
)
from worlds.tree_library import courier_library

DATE = "25 November 2026"
SIZES = st.floats(1, 4000)


@pytest.fixture(scope="module")
def svg() -> bytes:
    return render(draw_tree(courier_library(), "will-not-start").dot, "svg")


@given(SIZES, SIZES)
def test_the_parts_cover_the_picture_and_share_more_than_a_symbol(wide: float, high: float) -> None:
    cut = tiling(wide, high, 786.0, 487.0)
    assert len(cut.parts) == cut.rows * cut.columns
    for part in cut.parts:
        if part.column + 1 < cut.columns:
            right = next(one for one in cut.parts if (one.row, one.column) == (part.row, part.column + 1))
            assert part.left + 786.0 - right.left >= OVERLAP_WIDE - 1e-6
        else:
            assert part.left + 786.0 >= wide - 1e-6
        if part.row + 1 < cut.rows:
            below = next(one for one in cut.parts if (one.row, one.column) == (part.row + 1, part.column))
            assert part.top + 487.0 - below.top >= OVERLAP_HIGH - 1e-6
        else:
            assert part.top + 487.0 >= high - 1e-6


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_every_sheet_is_numbered_dated_and_large_enough_to_read(svg: bytes, paper: str) -> None:
    pdf = tree_pdf(svg, "Fault tree: It will not start", "Invented library, version 1.0", DATE, paper)
    pages = pages_of(pdf)
    for number, page in enumerate(pages, 1):
        assert f"Sheet {number} of {len(pages)}" in page.says
        assert f"Invented library, version 1.0 · {DATE}" in page.says
    assert min(one.size for one in glyphs_of(pdf)) >= 8 - 0.01


def test_neighbours_name_each_other() -> None:
    fuel = render(draw_tree(load_or_raise(shipped_folder()), "fuel").dot, "svg")
    pages = pages_of(tree_pdf(fuel, "Fuel", "Library", DATE))
    assert len(pages) > 4
    assert len(pages[0].links) == len(pages) - 1
    names = {number: set(re.findall(r"(?:left|right|above|below): sheet (\d+)", page.says))
             for number, page in enumerate(pages, 1)}  # fmt: skip
    for number, others in names.items():
        assert number == 1 or others
        assert all(str(number) in names[int(other)] for other in others)


def test_an_unknown_paper_is_refused(svg: bytes) -> None:
    with pytest.raises(PaperError, match="choose a4 or letter"):
        tree_pdf(svg, "Tree", "Library", DATE, "a5")


def test_every_word_of_the_picture_is_whole_on_a_sheet_and_none_is_hidden_beyond_an_edge() -> None:
    fuel = render(draw_tree(load_or_raise(shipped_folder()), "fuel").dot, "svg")
    sheets = tree_pdf(fuel, "Fuel", "Library", DATE)
    assert set(lines_of_text(svg_to_pdf(fuel))) <= set(lines_of_text(sheets))
    room = pages_of(sheets)[0]
    for one in glyphs_of(sheets):
        assert MARGIN - 1 <= one.left <= one.right <= room.wide - MARGIN + 1
        assert MARGIN - 1 <= one.top <= one.foot <= room.high - MARGIN + 1


@given(SIZES, SIZES)
def test_text_that_no_part_can_hold_is_drawn_where_it_is_met(left: float, wide: float) -> None:
    drawing = Drawing(5000, 100)
    drawing.add(Group(Rect(left, 10, wide, 20), String(left, 15, "Spark")))
    drawing.add(Group(Rect(4990, 90, 5, 5)))
    parts = [Frame(at, 0, at + 300, 100) for at in range(0, 5000, 200)]
    cut = PlacedPicture(drawing, parts)
    shown = [frame for frame in parts if "Spark" in words_in(cut.part(frame))]
    assert shown
    if wide <= 100:
        assert all(frame.holds(cut.pieces[0].frame) for frame in shown)


def words_in(drawing: Drawing) -> str:
    return "".join(lines_of_text(renderPDF.drawToString(drawing)))
