"""Draws on PDF pages: text, symbols, lines, links. Points, from the top left corner of the page, downwards.

It places what it is given and decides nothing about it. Text is embedded, whatever the alphabet.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfgen.canvas import Canvas

from kickover.core.problem import KickoverError
from kickover.documents import text
from kickover.documents.dot_text import LINE_HEIGHT, Block, Words
from kickover.documents.shapes import Outline, Point, warning_triangle

TEXT = 9.0
SMALL = 8.0
"""No text on a sheet is smaller than this, in points."""
_BASELINE = 0.96


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle: its left and top edge, width and height."""

    x: float
    y: float
    wide: float
    high: float


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper, lying; sizes in points (ISO 216 A4; ANSI/ASME Y14.1 size A)."""

    name: str
    wide: float
    high: float


PAPERS = {"a4": Paper("a4", 841.89, 595.28), "letter": Paper("letter", 792.0, 612.0)}


class PaperError(KickoverError):
    """A paper that is not known."""


def paper_named(name: str) -> Paper:
    """The paper of that name. Raises PaperError for any other."""
    if name not in PAPERS:
        raise PaperError(f"{name!r} is not a paper we know; choose {' or '.join(PAPERS)}")
    return PAPERS[name]


MARGIN = 28.0
"""About 10 mm."""


class PdfCanvas:
    """A PDF being written, page by page."""

    def __init__(self, paper: Paper, title: str) -> None:
        text.use_fonts()
        self.paper = paper
        self._stream = io.BytesIO()
        self._canvas = Canvas(self._stream, pagesize=(paper.wide, paper.high), invariant=1, pageCompression=1)
        self._canvas.setTitle(text.printable(title))
        self._canvas.setCreator("kickover")
        self._canvas.setLineJoin(1)

    def _up(self, y: float) -> float:
        return self.paper.high - y

    def words(self, line: Words, x: float, y: float, mono: bool = False) -> None:
        """Write one line whose top is at `y`."""
        font = text.MONO if mono else text.BOLD if line.bold else text.REGULAR
        self._canvas.setFont(font, line.size)
        shown = text.printable_mono(line.says) if mono else text.printable(line.says)
        self._canvas.drawString(x, self._up(y + line.size * _BASELINE), shown)

    def block(self, label: Block, x: float, y: float) -> None:
        """Write lines one under the other, flush left."""
        for line in label.lines:
            self.words(line, x, y)
            y += line.size * LINE_HEIGHT

    def right(self, line: Words, x: float, y: float) -> None:
        """Write one line that ends at `x`."""
        shown = text.printable(line.says)
        self.words(
            line, x - pdfmetrics.stringWidth(shown, text.BOLD if line.bold else text.REGULAR, line.size), y
        )

    def outline(self, shape: Outline, x: float, y: float, filled: bool = False, line: float = 0.9) -> None:
        """Draw a closed outline with its box's corner at (x, y)."""
        self._canvas.setLineWidth(line)
        path = self._canvas.beginPath()
        path.moveTo(x + shape.start[0], self._up(y + shape.start[1]))
        for move in shape.moves:
            to = (x + move.to[0], self._up(y + move.to[1]))
            if move.handles:
                (ax, ay), (bx, by) = move.handles
                path.curveTo(x + ax, self._up(y + ay), x + bx, self._up(y + by), *to)
            else:
                path.lineTo(*to)
        path.close()
        self._canvas.drawPath(path, stroke=0 if filled else 1, fill=1 if filled else 0)

    def warning(self, x: float, y: float, size: float) -> None:
        """Draw the warning triangle with its box's corner at (x, y)."""
        sign = warning_triangle(size)
        self._canvas.setFillGray(1)
        self.outline(sign.edge, x, y, filled=True)
        self._canvas.setFillGray(0)
        self.outline(sign.edge, x, y, line=sign.edge_width)
        self.outline(sign.bar, x, y, filled=True)
        self.outline(sign.dot, x, y, filled=True)

    def line(self, points: Sequence[Point], wide: float = 0.9) -> None:
        """Draw a line through `points`."""
        self._canvas.setLineWidth(wide)
        path = self._canvas.beginPath()
        path.moveTo(points[0][0], self._up(points[0][1]))
        for x, y in points[1:]:
            path.lineTo(x, self._up(y))
        self._canvas.drawPath(path)

    def frame(self, box: Box, wide: float = 0.9) -> None:
        """Draw a rectangle."""
        self._canvas.setLineWidth(wide)
        self._canvas.rect(box.x, self._up(box.y + box.high), box.wide, box.high)

    def place(self, name: str, y: float) -> None:
        """Name a place on this page that links can lead to."""
        self._canvas.bookmarkHorizontal(name, 0, self._up(y))

    def link(self, name: str, box: Box) -> None:
        """Make `box` lead to a named place."""
        corners = (box.x, self._up(box.y + box.high), box.x + box.wide, self._up(box.y))
        self._canvas.linkRect("", name, corners, relative=0, thickness=0)

    def entry(self, title: str, name: str) -> None:
        """Add a line to the reader's outline, leading to a named place."""
        self._canvas.addOutlineEntry(text.printable(title), name, level=0)

    def next_page(self) -> None:
        """End this page."""
        self._canvas.showPage()

    def pdf(self) -> bytes:
        """The finished file."""
        self._canvas.save()
        return self._stream.getvalue()
