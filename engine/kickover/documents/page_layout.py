"""Pages as values: marks in areas, and entries that fill columns without being cut.

Points, from the top left. The same pages become PDF, SVG and PNG.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from kickover.documents import text

STANDING = {"a4": (595.28, 841.89), "letter": (612.0, 792.0), "a3": (841.89, 1190.55)}
"""Papers as they stand; points (ISO 216, ANSI/ASME Y14.1 size A)."""
MARGIN = 28.0
"""About 10 mm."""
SIZE = 9.0
"""The smallest type on A4."""
LEADING = 1.25
BADGE = 30.0
GAP = 9.0
GUTTER = 18.0


@dataclass(frozen=True, slots=True)
class TextMark:
    """One line of text whose top left corner is at (x, y)."""

    x: float
    y: float
    says: str
    size: float = SIZE
    bold: bool = False


@dataclass(frozen=True, slots=True)
class LineMark:
    """A line through points, with an arrowhead at its end where wanted."""

    points: tuple[tuple[float, float], ...]
    wide: float = 0.8
    arrow: bool = False


@dataclass(frozen=True, slots=True)
class ShapeMark:
    """A closed outline through points."""

    points: tuple[tuple[float, float], ...]
    filled: bool = False


@dataclass(frozen=True, slots=True)
class LinkMark:
    """A rectangle by two corners that leads to a page of that number; it shows nothing."""

    points: tuple[tuple[float, float], ...]
    page: int


Mark = TextMark | LineMark | ShapeMark | LinkMark


@dataclass(frozen=True, slots=True)
class Area:
    """A column to be filled; `turned` is drawn upside down, for what is folded."""

    x: float
    y: float
    wide: float
    high: float
    turned: bool = False


@dataclass(frozen=True, slots=True)
class Panel:
    """Marks in the coordinates of their own area, and the labels of the boxes and tables among them."""

    area: Area
    marks: tuple[Mark, ...]
    labels: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PrintedPage:
    """A page of panels, `wide` by `high` points."""

    wide: float
    high: float
    panels: tuple[Panel, ...]


@dataclass(slots=True)
class Entry:
    """Something that stands in a column as a whole: its height, its marks, and its label.

    `goes_on` draws the usual way to the entry below; `holds` keeps it in one column with the next.
    """

    high: float
    marks: list[Mark] = field(default_factory=list)
    label: str = ""
    goes_on: bool = False
    holds: bool = False


class Writer:
    """Writes lines one under the other into an entry."""

    def __init__(self, wide: float, size: float = SIZE) -> None:
        self.wide, self.size = wide, size
        self.y = 0.0
        self.end = 0.0
        """Where the last line of `runs` ends."""
        self.marks: list[Mark] = []

    def lines(self, says: str, x: float, room: float, bold: bool = False, size: float | None = None) -> None:
        """Write wrapped text."""
        size = size or self.size
        for line in text.wrap(says, room, size, bold):
            self.marks.append(TextMark(x, self.y, line, size, bold))
            self.y += size * LEADING

    def runs(self, said: Sequence[tuple[str, bool]], x: float, room: float, first: float = 0.0) -> None:
        """Write wrapped text that is bold in parts; `first` is the room of the first line, if it has less."""
        left = first or room
        self.end = x
        for says, bold in said:
            line = ""
            for word in text.clean(says).split(" "):
                longer = f"{line} {word}" if line else word
                if self.end + text.width(longer, self.size, bold) <= x + left:
                    line = longer
                    continue
                if line or self.end > x:
                    self._run(line, bold)
                    self.y, self.end, left = self.y + self.size * LEADING, x, room
                *full, line = text.wrap(word, left, self.size, bold)
                for piece in full:
                    self._run(piece, bold)
                    self.y, self.end, left = self.y + self.size * LEADING, x, room
            self._run(line, bold)
        self.y += self.size * LEADING

    def _run(self, says: str, bold: bool) -> None:
        if says:
            self.marks.append(TextMark(self.end, self.y, says, self.size, bold))
            self.end += text.width(f"{says} ", self.size, bold)

    def right(self, says: str, y: float, bold: bool = False) -> None:
        """Write a line that ends at the right edge."""
        self.marks.append(TextMark(self.wide - text.width(says, self.size, bold), y, says, self.size, bold))


def lines_of(said: Sequence[tuple[str, bool, float]], wide: float, apart: float = 1.0) -> Writer:
    """Paragraphs with whether they are bold and their size, one under the other."""
    writer = Writer(wide)
    for words, bold, size in said:
        writer.y += apart if writer.marks else 0.0
        writer.lines(words, 0.0, wide, bold, size)
    return writer


def lines_entry(said: Sequence[tuple[str, bool]], wide: float, size: float = SIZE) -> Entry:
    """Paragraphs, bold or not, that stay together."""
    writer = Writer(wide, size)
    for words, bold in said:
        writer.lines(words, 0.0, wide, bold)
    return Entry(writer.y + GAP * 0.7, writer.marks)


def flowed(entries: Iterable[Entry], areas: Iterator[Area]) -> Iterator[Panel]:
    """Fill one area after the other; an entry is never cut."""
    area = next(areas)
    marks: list[Mark] = []
    labels: list[str] = []
    y = 0.0
    waiting: list[Entry] = []
    for entry in entries:
        waiting.append(entry)
        if entry.holds:
            continue
        if y > 0.0 and y + sum(one.high for one in waiting) > area.high:
            yield Panel(area, tuple(marks), tuple(labels))
            area, marks, labels, y = next(areas), [], [], 0.0
        for one in waiting:
            marks += moved(one.marks, 0.0, y)
            if one.goes_on:
                foot = y + one.high
                marks.append(
                    LineMark(((BADGE / 2 - 3.5, y + SIZE + 10), (BADGE / 2 - 3.5, foot - 6)), arrow=True)
                )
            if one.label:
                labels.append(one.label)
            y += one.high
        waiting = []
    yield Panel(area, tuple(marks), tuple(labels))


def sheets_of(
    paper: str, count: int, entries: Sequence[Entry], tops: tuple[float, float], foot: float
) -> list[list[Panel]]:
    """The entries in `count` columns a page, for each page its panels; `tops` are of the first and others."""
    _, high = STANDING[paper]
    column = column_of(paper, count)

    def areas() -> Iterator[Area]:
        for page in itertools.count():
            top = tops[min(page, 1)]
            for number in range(count):
                yield Area(MARGIN + number * (column + GUTTER), top, column, high - MARGIN - foot - top)

    panels = list(flowed(entries, areas()))
    return [panels[at : at + count] for at in range(0, len(panels), count)]


def column_of(paper: str, count: int) -> float:
    """How wide each of so many columns is."""
    return (STANDING[paper][0] - 2 * MARGIN - (count - 1) * GUTTER) / count


def moved(marks: Sequence[Mark], right: float, down: float) -> Iterator[Mark]:
    """The marks moved by so many points."""
    for mark in marks:
        if isinstance(mark, TextMark):
            yield replace(mark, x=mark.x + right, y=mark.y + down)
        else:
            yield replace(mark, points=tuple((x + right, y + down) for x, y in mark.points))


def rectangle(x: float, y: float, wide: float, high: float) -> ShapeMark:
    """A frame with its top left corner at (x, y)."""
    return ShapeMark(((x, y), (x + wide, y), (x + wide, y + high), (x, y + high)))
