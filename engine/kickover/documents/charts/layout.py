"""Lays a chart out: boxes straight down, rows below their table's head, in columns on pages.

Points, from the top left. One layout serves the sheet, the picture, the card and the print of the page. What
leads elsewhere says so at its right edge, so that no line crosses another; the usual way is drawn straight
down.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kickover.documents import text
from kickover.documents.charts.chart import Chart, Exit, Item, Table
from kickover.documents.page_layout import (
    BADGE,
    GAP,
    SIZE,
    Entry,
    LineMark,
    ShapeMark,
    TextMark,
    Writer,
    lines_entry,
)

ANSWER_INDENT = 6.0


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
    writer = Writer(wide, size)
    _badge(writer, item.label, check=bool(item.check))
    aside = _aside(item)
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


def _aside(item: Item) -> str:
    """Its minutes, and under which numbers the booklet says how."""
    numbers = f", how {', '.join(map(str, item.how))}" if item.how else ""
    return f"{item.minutes} min{numbers}"


def _together(exits: Sequence[Exit]) -> Iterator[tuple[str, Exit]]:
    """Answers that lead to the same place, as one."""
    by_place: dict[tuple[str, bool], list[Exit]] = {}
    for way in exits:
        by_place.setdefault((way.to, way.stop), []).append(way)
    for ways in by_place.values():
        usual = any(way.usual for way in ways)
        yield " / ".join(way.answer for way in ways), Exit("", ways[0].to, usual, ways[0].stop)


def _exit(writer: Writer, answers: str, way: Exit) -> None:
    target = f"→ {way.to}" if way.to else "done" if answers == "cured" else "→ end"
    room = writer.wide - BADGE - ANSWER_INDENT - text.width("→ 88", writer.size, bold=True) - 6
    top = writer.y
    stop = " (do not ride)" if way.stop and way.to else ""
    writer.lines(f"{answers}{stop}", BADGE + ANSWER_INDENT, room)
    writer.right(target, top, bold=True)


def _table(table: Table, wide: float, size: float) -> Iterator[Entry]:
    head = Writer(wide, size)
    head.marks.append(LineMark(((0.0, 0.0), (wide, 0.0)), 1.2))
    head.y += 4
    about = f" ({table.title})" if table.title else ""
    head.lines(f"{table.letter}{about}: row by row, until it is cured.", 0.0, wide, bold=True, size=size + 1)
    yield Entry(head.y + 4, head.marks, table.letter, holds=True)
    for row in table.rows:
        yield _row(row, wide, size)
    rest = "; ".join(table.left)
    words = f"End of {table.letter}. {f'Not here: {rest}.' if rest else 'Push it home or call.'}"
    yield lines_entry([(words, False)], wide, size)


def _row(item: Item, wide: float, size: float) -> Entry:
    writer = Writer(wide, size)
    _badge(writer, item.label, check=bool(item.check))
    aside = _aside(item)
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


def _warnings(writer: Writer, item: Item) -> None:
    if item.cautions:
        top = writer.y
        x = BADGE + ANSWER_INDENT
        side = writer.size
        writer.marks.append(ShapeMark(((x, top + side), (x + side / 2, top + 1), (x + side, top + side))))
        writer.lines(" ".join(map(str, item.cautions)), x + side + 3, writer.wide)
    if item.lasts:
        writer.lines(f"It lasts: {item.lasts}.", BADGE + ANSWER_INDENT, writer.wide - BADGE - ANSWER_INDENT)
    if item.no_ride:
        writer.lines(
            "Do not ride it before the lasting repair.", BADGE + ANSWER_INDENT, writer.wide - BADGE, bold=True
        )


def _badge(writer: Writer, label: str, *, check: bool) -> None:
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


def caution_entries(chart: Chart, wide: float, size: float = SIZE) -> Iterator[Entry]:
    """The cautions in full, each with its number."""
    for number, (title, words) in enumerate(chart.cautions, start=1):
        yield lines_entry([(f"{number} {title}", True), (words, False)], wide, size)
