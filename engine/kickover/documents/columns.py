"""Text pages made of pieces that flow through two columns: contents, steps, cautions, tools, limits.

A piece is not cut; a long matter is handed over as several pieces. Heights are measured, nothing is guessed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from kickover.documents.dot_text import Words, block
from kickover.documents.paper import MARGIN, SMALL, TEXT, Box, PdfCanvas, paper_named

GUTTER = 26.0
_SIGN = 20.0


@dataclass(frozen=True, slots=True)
class Piece:
    """Something `high` points high that `draw` puts with its top left corner at the place it is given.

    `holds` keeps it in the same column as the piece after it.
    """

    high: float
    draw: Callable[[PdfCanvas, float, float], None]
    holds: bool = False


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
    to: str | None = None,
    at: str | None = None,
    holds: bool = False,
) -> list[Piece]:
    """Wrapped text, a piece a line. `to` links it to a place; `at` makes it a place; `holds` keeps it on."""
    lines = block((Words(says, size, bold),), wide - indent).lines
    high = size * 1.3

    def line_piece(line: Words, index: int) -> Piece:
        def draw(canvas: PdfCanvas, x: float, y: float) -> None:
            if at and index == 0:
                canvas.place(at, y - 4)
            canvas.words(line, x + indent, y)
            if to:
                canvas.link(to, Box(x, y, wide, high))

        return Piece(high, draw, holds=holds or index < min(2, len(lines) - 1))

    return [line_piece(line, index) for index, line in enumerate(lines)]


def sketch(drawn: str, indent: float) -> list[Piece]:
    """A sketch in characters, kept together."""
    lines = [line for line in drawn.splitlines() if line.strip()]

    def line_piece(line: str, last: bool) -> Piece:
        def draw(canvas: PdfCanvas, x: float, y: float) -> None:
            canvas.words(Words(line[:60], SMALL), x + indent, y, mono=True)

        return Piece(SMALL * 1.25, draw, holds=not last)

    return [line_piece(line, index == len(lines) - 1) for index, line in enumerate(lines)]


def caution_box(
    title: str, words: str, wide: float, *, holds: bool = False, most: int | None = None
) -> Piece:
    """A framed caution with the warning triangle. `most` cuts its words after so many lines."""
    heading = block((Words(title, SMALL, bold=True),), wide - _SIGN - 18)
    label = block((Words(words, SMALL),), wide - _SIGN - 18)
    lines = [*heading.lines, *label.lines]
    if most is not None and len(lines) > most:
        lines = [*lines[: most - 1], Words(f"{lines[most - 1].says[:-2]}…", SMALL)]
    line_high = SMALL * 1.25
    high = max(len(lines) * line_high, _SIGN * 0.88) + 8

    def draw(canvas: PdfCanvas, x: float, y: float) -> None:
        canvas.frame(Box(x, y, wide, high))
        canvas.warning(x + 6, y + (high - _SIGN * 0.88) / 2, _SIGN)
        top = y + (high - len(lines) * line_high) / 2
        for line in lines:
            canvas.words(line, x + _SIGN + 12, top)
            top += line_high

    return Piece(high + 4, draw, holds)


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
