"""Text pages made of pieces that flow through two columns: contents, steps, cautions, tools, limits.

A piece is not cut; a long matter is handed over as several pieces. Heights are measured, nothing is guessed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from kickover.documents.dot_text import Words, block
from kickover.documents.engine_drawing import MarkedDrawing
from kickover.documents.page_layout import MARGIN, Area
from kickover.documents.paper import SMALL, TEXT, PdfCanvas, paper_named

GUTTER = 26.0
_SIGN = 20.0


@dataclass(frozen=True, slots=True)
class Piece:
    """Something `high` points high that `draw` puts with its top left corner at the place it is given.

    `holds` keeps it in the same column as the piece after it; `spare` leaves it out where the column that is
    being filled has no room for it.
    """

    high: float
    draw: Callable[[PdfCanvas, float, float], None]
    holds: bool = False
    spare: bool = False


@dataclass(frozen=True, slots=True)
class Column:
    """The pieces of one column, with the height at which each begins."""

    pieces: tuple[tuple[Piece, float], ...]


def in_columns(pieces: Sequence[Piece], high: float) -> tuple[Column, ...]:
    """Fill columns `high` points high from top to bottom, keeping together what holds together."""
    columns: list[list[tuple[Piece, float]]] = [[]]
    used = 0.0
    for group in _groups(pieces):
        tall = sum(piece.high for piece in group)
        if group[0].spare and used + tall > high:
            continue
        if columns[-1] and used + tall > high:
            columns.append([])
            used = 0.0
        for piece in group:
            if columns[-1] and used + piece.high > high:
                columns.append([])
                used = 0.0
            columns[-1].append((piece, used))
            used += piece.high
    return tuple(Column(tuple(column)) for column in columns)


def pdf_in_columns(
    title: str,
    paper: str,
    groups: Callable[[float], Iterable[Iterable[Piece]]],
    furniture: Callable[[PdfCanvas, str], None],
    *,
    head: float,
    foot: float,
) -> bytes:
    """Pieces in two columns a page as a PDF; each group of them begins a column.

    `groups` is told the width of a column. `furniture` draws the head and the foot of a page, so many points
    high, and is told its number, such as `1 of 3`. Raises PaperError for an unknown paper.
    """
    sheet = paper_named(paper)
    canvas = PdfCanvas(sheet, title)
    wide = (sheet.wide - 2 * MARGIN - GUTTER) / 2
    high = sheet.high - 2 * MARGIN - head - foot
    columns = [column for pieces in groups(wide) for column in in_columns(list(pieces), high)]
    pages = (len(columns) + 1) // 2
    for page in range(pages):
        furniture(canvas, f"{page + 1} of {pages}")
        for place, column in enumerate(columns[2 * page : 2 * page + 2]):
            for piece, down in column.pieces:
                piece.draw(canvas, MARGIN + place * (wide + GUTTER), MARGIN + head + down)
        canvas.next_page()
    return canvas.pdf()


def _groups(pieces: Iterable[Piece]) -> Iterable[list[Piece]]:
    group: list[Piece] = []
    for piece in pieces:
        group.append(piece)
        if not piece.holds:
            yield group
            group = []
    if group:
        yield group


def gap(high: float) -> Piece:
    """Empty room."""
    return Piece(high, lambda _press, _x, _y: None)


def paragraph(
    says: str,
    wide: float,
    *,
    size: float = TEXT,
    bold: bool = False,
    indent: float = 0.0,
    holds: bool = False,
) -> list[Piece]:
    """Wrapped text, a piece a line; `holds` keeps it with what follows."""
    lines = block((Words(says, size, bold),), wide - indent).lines

    def line_piece(line: Words, index: int) -> Piece:
        def draw(canvas: PdfCanvas, x: float, y: float) -> None:
            canvas.words(line, x + indent, y)

        return Piece(size * 1.3, draw, holds=holds or index < min(2, len(lines) - 1))

    return [line_piece(line, index) for index, line in enumerate(lines)]


def picture(marked: MarkedDrawing, wide: float) -> Piece:
    """A drawing of the engine between its title and what its numbers are, where there is room for it."""
    entry = marked.entry(marked.drawing.title, marked.legend(), wide, about=False)
    return Piece(entry.high, lambda canvas, x, y: canvas.marks(entry.marks, x, y), spare=True)


def caution_box(title: str, words: str, wide: float) -> Piece:
    """A framed caution with the warning triangle."""
    label = block((Words(title, SMALL, bold=True), Words(words, SMALL)), wide - _SIGN - 18)
    high = max(label.height, _SIGN * 0.88) + 8

    def draw(canvas: PdfCanvas, x: float, y: float) -> None:
        canvas.frame(Area(x, y, wide, high))
        canvas.warning(x + 6, y + (high - _SIGN * 0.88) / 2, _SIGN)
        canvas.block(label, x + _SIGN + 12, y + (high - label.height) / 2)

    return Piece(high + 4, draw)


def table_row(
    cells: Sequence[str], widths: Sequence[float], *, bold: bool = False, size: float = SMALL
) -> Piece:
    """One row of a table: a cell a width, wrapped, with a line under it."""
    labels = [block((Words(says, size, bold),), wide - 8) for says, wide in zip(cells, widths, strict=True)]
    high = max(label.height for label in labels) + 5

    def draw(canvas: PdfCanvas, x: float, y: float) -> None:
        left = x
        for label, wide in zip(labels, widths, strict=True):
            canvas.block(label, left, y + 1)
            left += wide
        canvas.line(((x, y + high - 1.5), (x + sum(widths), y + high - 1.5)), 0.4)

    return Piece(high, draw, holds=bold)
