"""The service list as a PDF to print: two columns on a lying sheet, a box to tick off at every task."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kickover.documents.columns import (
    GUTTER,
    Column,
    Piece,
    caution_box,
    gap,
    in_columns,
    paragraph,
    table_row,
)
from kickover.documents.dot_text import Words
from kickover.documents.page_layout import MARGIN, Area
from kickover.documents.paper import SMALL, PdfCanvas, paper_named
from kickover.packing.checklist import Checklist, ServiceTask
from kickover.packing.checklist_text import CAUTIONS, TIGHTENING, details, ends
from kickover.session.outcome import LOCAL_RULES

_HEADER = 22.0
_FOOTER = 17.0
_TICK = 9.0
_INDENT = 16.0


def checklist_pdf(made: Checklist, date: str, paper: str = "a4") -> bytes:
    """The list as a PDF on `a4` or `letter` paper; the same list and date give the same bytes.

    Raises PaperError for any other paper.
    """
    canvas = PdfCanvas(paper_named(paper), f"Service: {made.machine}")
    wide = (paper_named(paper).wide - 2 * MARGIN - GUTTER) / 2
    columns = in_columns(list(_pieces(made, wide)), paper_named(paper).high - 2 * MARGIN - _HEADER - _FOOTER)
    sheets = (len(columns) + 1) // 2
    for sheet in range(sheets):
        _sheet(canvas, made, date, columns[2 * sheet : 2 * sheet + 2], wide, f"Sheet {sheet + 1} of {sheets}")
    return canvas.pdf()


def _sheet(
    canvas: PdfCanvas, made: Checklist, date: str, columns: Sequence[Column], wide: float, number: str
) -> None:
    right = canvas.paper.wide - MARGIN
    canvas.words(Words(f"Service: {made.machine}", 10, bold=True), MARGIN, MARGIN)
    canvas.right(
        Words("Hours on the engine: ............   Done by: ....................", SMALL), right, MARGIN + 1
    )
    canvas.line(((MARGIN, MARGIN + 16), (right, MARGIN + 16)), 0.6)
    for place, column in enumerate(columns):
        for piece, down in column.pieces:
            piece.draw(canvas, MARGIN + place * (wide + GUTTER), MARGIN + _HEADER + down)
    foot = canvas.paper.high - MARGIN - 11
    canvas.line(((MARGIN, foot - 3), (right, foot - 3)), 0.6)
    canvas.words(Words(f"{made.library} · {date}", SMALL), MARGIN, foot)
    canvas.right(Words(number, SMALL), right, foot)
    canvas.next_page()


def _pieces(made: Checklist, wide: float) -> Iterator[Piece]:
    for part in made.parts:
        yield from paragraph(part.title, wide, size=11, bold=True, holds=True)
        yield _gap_that_holds(3)
        for task in part.tasks:
            yield from _task(task, wide)
        yield gap(7)
    for heading, rows in ends(made):
        yield from paragraph(heading, wide, size=11, bold=True, holds=True)
        for title, words in rows:
            if heading == TIGHTENING:
                yield table_row((title, words), (wide * 0.62, wide * 0.38))
            elif heading == CAUTIONS:
                yield caution_box(title, words, wide)
            else:
                yield from paragraph(f"{title}: {words}", wide, size=SMALL)
        yield gap(7)
    yield from paragraph(LOCAL_RULES, wide, size=SMALL)


def _task(task: ServiceTask, wide: float) -> Iterator[Piece]:
    title = paragraph(task.title, wide, bold=True, indent=_INDENT, holds=True)
    for index, piece in enumerate(title):
        yield _with_tick(piece) if index == 0 else piece
    lines = list(details(task))
    for place, line in enumerate(lines):
        last = place == len(lines) - 1
        yield from paragraph(line, wide, size=SMALL, indent=_INDENT, holds=not last)
    yield gap(3)


def _with_tick(piece: Piece) -> Piece:
    def draw(canvas: PdfCanvas, x: float, y: float) -> None:
        canvas.frame(Area(x + 1, y + 1, _TICK, _TICK))
        piece.draw(canvas, x, y)

    return Piece(piece.high, draw, piece.holds)


def _gap_that_holds(high: float) -> Piece:
    return Piece(high, lambda _press, _x, _y: None, holds=True)
