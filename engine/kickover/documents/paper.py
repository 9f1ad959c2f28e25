"""Draws on lying sheets: text, lines, the warning triangle. Points, from the top left corner, downwards.

It places what it is given and decides nothing about it. The sheets become a PDF as all pages do.
"""

from __future__ import annotations

from collections.abc import Sequence

from kickover.core.problem import KickoverError
from kickover.documents import text
from kickover.documents.dot_text import LINE_HEIGHT, Block, Words
from kickover.documents.page_layout import (
    STANDING,
    Area,
    LineMark,
    Mark,
    Panel,
    PrintedPage,
    ShapeMark,
    TextMark,
    moved,
    rectangle,
)
from kickover.documents.page_output import pages_pdf

TEXT = 9.0
SMALL = 8.0
"""No text on a sheet is smaller than this, in points."""
PAPERS = {name: Area(0.0, 0.0, STANDING[name][1], STANDING[name][0]) for name in ("a4", "letter")}
"""Papers as they lie."""


class PaperError(KickoverError):
    """A paper that is not known."""


def paper_named(name: str) -> Area:
    """The paper of that name. Raises PaperError for any other."""
    if name not in PAPERS:
        raise PaperError(f"{name!r} is not a paper we know; choose {' or '.join(PAPERS)}")
    return PAPERS[name]


class PdfCanvas:
    """Sheets being drawn, one after the other."""

    def __init__(self, paper: Area, title: str) -> None:
        self.paper = paper
        self._title = title
        self._marks: list[Mark] = []
        self._pages: list[PrintedPage] = []

    def words(self, line: Words, x: float, y: float) -> None:
        """Write one line whose top is at `y`."""
        self._marks.append(TextMark(x, y, line.says, line.size, line.bold))

    def block(self, label: Block, x: float, y: float) -> None:
        """Write lines one under the other, flush left."""
        for line in label.lines:
            self.words(line, x, y)
            y += line.size * LINE_HEIGHT

    def right(self, line: Words, x: float, y: float) -> None:
        """Write one line that ends at `x`."""
        self.words(line, x - text.width(text.printable(line.says), line.size, line.bold) / text.SLACK, y)

    def warning(self, x: float, y: float, size: float) -> None:
        """Draw a warning triangle after the manner of ISO 7010 W001, in a box `size` wide."""
        high, bar = size * 0.88, size * 0.055
        sign = (
            LineMark(((size / 2, 0.6), (size - 0.6, high), (0.6, high), (size / 2, 0.6)), size * 0.075),
            ShapeMark(((size / 2 - bar / 2, high * 0.4), (size / 2 + bar / 2, high * 0.4),
                       (size / 2, high * 0.66)), filled=True),
            rectangle(size / 2 - bar / 2, high * 0.77, bar, bar),
        )  # fmt: skip
        self._marks += moved(sign, x, y)

    def line(self, points: tuple[tuple[float, float], ...], wide: float = 0.9) -> None:
        """Draw a line through `points`."""
        self._marks.append(LineMark(points, wide))

    def frame(self, area: Area) -> None:
        """Draw a rectangle."""
        self._marks.append(rectangle(area.x, area.y, area.wide, area.high))

    def marks(self, marks: Sequence[Mark], x: float, y: float) -> None:
        """Draw marks with the corner of what they are of at (x, y)."""
        self._marks += moved(marks, x, y)

    def next_page(self) -> None:
        """End this page."""
        panel = Panel(self.paper, tuple(self._marks))
        self._pages.append(PrintedPage(self.paper.wide, self.paper.high, (panel,)))
        self._marks = []

    def pdf(self) -> bytes:
        """The finished file."""
        return pages_pdf(self._pages, self._title)
