"""Lays a chart out: boxes straight down, rows below their table's head, in columns on pages.

Points, from the top left. One layout serves the sheet, the picture, the card and the print of the page. What
leads elsewhere says so at its right edge, so that no line crosses another; the usual way is drawn straight
down.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from kickover.documents import text
from kickover.documents.charts.chart import Chart, Exit, Item, Table

SIZE = 9.0
"""The smallest type on A4."""
LEADING = 1.25
BADGE = 30.0
GAP = 9.0
GUTTER = 18.0
ANSWER_INDENT = 6.0


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


Mark = TextMark | LineMark | ShapeMark


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
    """Marks in the coordinates of their own area."""

    area: Area
    marks: tuple[Mark, ...]


@dataclass(frozen=True, slots=True)
class PrintedPage:
    """A page of panels, `wide` by `high` points, and the labels of the boxes and tables that stand on it."""

    wide: float
    high: float
    panels: tuple[Panel, ...]
    labels: frozenset[str]


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


class _Writer:
    """Writes lines one under the other into an entry."""

    def __init__(self, wide: float, size: float = SIZE) -> None:
        self.wide, self.size = wide, size
        self.y = 0.0
        self.marks: list[Mark] = []

    def lines(self, says: str, x: float, room: float, bold: bool = False, size: float | None = None) -> None:
        """Write wrapped text."""
        size = size or self.size
        for line in text.wrap(says, room, size, bold):
            self.marks.append(TextMark(x, self.y, line, size, bold))
            self.y += size * LEADING

    def right(self, says: str, y: float, bold: bool = False) -> None:
        """Write a line that ends at the right edge."""
        self.marks.append(TextMark(self.wide - text.width(says, self.size, bold), y, says, self.size, bold))


def entries_of(chart: Chart, wide: float, size: float = SIZE) -> Iterator[Entry]:
    """The boxes and tables of a chart as entries of columns `wide` points wide."""
    for box in chart.boxes:
        yield _box(box, wide, size)
    for table in chart.tables:
        yield from _table(table, wide, size)
    if chart.left and len(chart.tables) != 1:
        words = f"Not on this paper, likeliest first: {'; '.join(chart.left)}."
        yield lines_entry([(words, False)], wide, size)


def _box(item: Item, wide: float, size: float) -> Entry:
    writer = _Writer(wide, size)
    _badge(writer, item.label, check=bool(item.check))
    aside = f"{item.minutes} min"
    room = wide - BADGE - text.width(aside, size) - 6
    writer.right(aside, 0.0)
    writer.lines(item.check or item.repair, BADGE, room, bold=True)
    if item.normal:
        writer.lines(item.normal, BADGE, wide - BADGE)
    for answers, way in _together(item.exits):
        _exit(writer, answers, way)
    _warnings(writer, item)
    usual = any(way.usual for way in item.exits)
    return Entry(max(writer.y, BADGE) + GAP, writer.marks, item.label, goes_on=usual)


def _together(exits: Sequence[Exit]) -> Iterator[tuple[str, Exit]]:
    """Answers that lead to the same place, as one."""
    by_place: dict[tuple[str, bool], list[Exit]] = {}
    for way in exits:
        by_place.setdefault((way.to, way.stop), []).append(way)
    for ways in by_place.values():
        usual = any(way.usual for way in ways)
        yield " / ".join(way.answer for way in ways), Exit("", ways[0].to, usual, ways[0].stop)


def _exit(writer: _Writer, answers: str, way: Exit) -> None:
    target = f"→ {way.to}" if way.to else "done" if answers == "cured" else "→ end"
    room = writer.wide - BADGE - ANSWER_INDENT - text.width("→ 88", writer.size, bold=True) - 6
    top = writer.y
    stop = " (do not ride)" if way.stop and way.to else ""
    writer.lines(f"{answers}{stop}", BADGE + ANSWER_INDENT, room)
    writer.right(target, top, bold=True)


def _table(table: Table, wide: float, size: float) -> Iterator[Entry]:
    head = _Writer(wide, size)
    head.marks.append(LineMark(((0.0, 0.0), (wide, 0.0)), 1.2))
    head.y += 4
    about = f": {table.title}" if table.title else ""
    head.lines(f"{table.letter}{about}. Row by row, until it is cured.", 0.0, wide, bold=True, size=size + 1)
    yield Entry(head.y + 4, head.marks, table.letter, holds=True)
    for row in table.rows:
        yield _row(row, wide, size)
    rest = "; ".join(table.left)
    words = f"End of {table.letter}. {f'Not here: {rest}.' if rest else 'Push it home or call.'}"
    yield lines_entry([(words, False)], wide, size)


def _row(item: Item, wide: float, size: float) -> Entry:
    writer = _Writer(wide, size)
    _badge(writer, item.label, check=bool(item.check))
    aside = f"{item.minutes} min"
    writer.right(aside, 0.0)
    room = wide - BADGE - text.width(aside, size) - 6
    if item.check:
        writer.lines(item.check, BADGE, room)
        if item.normal:
            writer.lines(item.normal, BADGE, wide - BADGE)
        writer.lines(f"If {_either(item.shows)}:", BADGE + ANSWER_INDENT, wide - BADGE - ANSWER_INDENT)
    writer.lines(item.repair, BADGE, wide - BADGE if item.check else room, bold=True)
    _warnings(writer, item)
    return Entry(max(writer.y, size * 2) + GAP * 0.7, writer.marks, item.label)


def _either(answers: Sequence[str]) -> str:
    return " or ".join(f'"{answer}"' for answer in answers)


def _warnings(writer: _Writer, item: Item) -> None:
    if item.cautions:
        top = writer.y
        x = BADGE + ANSWER_INDENT
        side = writer.size
        writer.marks.append(ShapeMark(((x, top + side), (x + side / 2, top + 1), (x + side, top + side))))
        writer.lines(" ".join(map(str, item.cautions)), x + side + 3, writer.wide)
    if item.no_ride:
        writer.lines(
            "Do not ride it before the lasting repair.", BADGE + ANSWER_INDENT, writer.wide - BADGE, bold=True
        )


def _badge(writer: _Writer, label: str, *, check: bool) -> None:
    """The symbol of ISO 5807 with its label: a decision for a check, a process for a repair."""
    wide, high = BADGE - 7, writer.size + 5
    middle = high / 2 - 1
    if check:
        points = ((0.0, middle), (wide / 2, -5.0), (wide, middle), (wide / 2, high + 3.0))
    else:
        points = ((1.5, -1.0), (wide - 1.5, -1.0), (wide - 1.5, high - 1.0), (1.5, high - 1.0))
    writer.marks.append(ShapeMark(points))
    across = text.width(label, writer.size, bold=True) / 1.06
    top = middle - writer.size * 0.52
    writer.marks.append(TextMark((wide - across) / 2, top, label, writer.size, bold=True))


def lines_entry(said: Sequence[tuple[str, bool]], wide: float, size: float = SIZE) -> Entry:
    """Paragraphs, bold or not, that stay together."""
    writer = _Writer(wide, size)
    for words, bold in said:
        writer.lines(words, 0.0, wide, bold)
    return Entry(writer.y + GAP * 0.7, writer.marks)


def caution_entries(chart: Chart, wide: float, size: float = SIZE) -> Iterator[Entry]:
    """The cautions in full, each with its number."""
    for number, (title, words) in enumerate(chart.cautions, start=1):
        yield lines_entry([(f"{number} {title}", True), (words, False)], wide, size)


def flowed(entries: Iterable[Entry], areas: Iterator[Area]) -> Iterator[tuple[Panel, tuple[str, ...]]]:
    """Fill one area after the other; an entry is never cut. Gives each panel with the labels on it."""
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
            yield Panel(area, tuple(marks)), tuple(labels)
            area, marks, labels, y = next(areas), [], [], 0.0
        for one in waiting:
            marks += _moved(one.marks, y)
            if one.goes_on:
                foot = y + one.high
                marks.append(
                    LineMark(((BADGE / 2 - 3.5, y + SIZE + 10), (BADGE / 2 - 3.5, foot - 6)), arrow=True)
                )
            if one.label:
                labels.append(one.label)
            y += one.high
        waiting = []
    yield Panel(area, tuple(marks)), tuple(labels)


def _moved(marks: Sequence[Mark], down: float) -> Iterator[Mark]:
    for mark in marks:
        if isinstance(mark, TextMark):
            yield TextMark(mark.x, mark.y + down, mark.says, mark.size, mark.bold)
        elif isinstance(mark, LineMark):
            yield LineMark(tuple((x, y + down) for x, y in mark.points), mark.wide, mark.arrow)
        else:
            yield ShapeMark(tuple((x, y + down) for x, y in mark.points), mark.filled)
