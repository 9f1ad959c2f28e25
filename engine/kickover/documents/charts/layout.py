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
    LEADING,
    SIZE,
    Entry,
    LineMark,
    ShapeMark,
    TextMark,
    Writer,
    lines_entry,
)

ANSWER_INDENT = 6.0
ROW_GAP = 5.0
CALLING = "From here on calling for help costs less: the rest is for who cannot call."


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
    said = [(item.check or item.repair, True), (item.normal, False), *_warnings(item)]
    _told(writer, said, item, first=True)
    _tail(writer, item)
    for answers, way in _together(item.exits):
        _exit(writer, answers, way)
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
    for place, row in enumerate(table.rows):
        if place == table.paying:
            yield lines_entry([(CALLING, True)], wide, size)
        yield _row(row, wide, size)
    rest = "; ".join(table.left)
    words = f"End of {table.letter}. {f'Not here: {rest}.' if rest else 'Push it home or call.'}"
    yield lines_entry([(words, False)], wide, size)


def _row(item: Item, wide: float, size: float) -> Entry:
    writer = Writer(wide, size)
    _badge(writer, item.label, check=bool(item.check))
    said = [(item.repair, True), *_warnings(item)]
    if item.check:
        _told(writer, [(item.check, False), (item.normal, False)], item, first=True)
        said = [(f"If {_either(item.shows)}:", False), *said]
    _told(writer, said, item, first=not item.check)
    _tail(writer, item)
    return Entry(max(writer.y, size * 2) + ROW_GAP, writer.marks, item.label)


def _told(writer: Writer, said: Sequence[tuple[str, bool]], item: Item, *, first: bool) -> None:
    """The words of an item beside its symbol; where they are the `first`, its minutes stand at the right."""
    minutes = f"{item.minutes} min"
    room = writer.wide - BADGE
    if first:
        writer.right(minutes, writer.y)
    writer.runs(said, BADGE, room, room - text.width(minutes, writer.size) - 6 if first else 0.0)


def _tail(writer: Writer, item: Item) -> None:
    """At the right of the last line if there is room: its cautions, and where the booklet says how."""
    how = f"how {', '.join(map(str, item.how))}" if item.how else ""
    called = " ".join(map(str, item.cautions))
    side = writer.size if called else 0.0
    wide = text.width(" ".join((called, how)), writer.size) + side + 4
    minutes = text.width(f"{item.minutes} min", writer.size) + 10 if writer.y < writer.size * 2 else 0.0
    x = writer.wide - minutes - wide
    if writer.end > x:
        x = writer.wide - wide
    else:
        writer.y -= writer.size * LEADING
    if called:
        top = writer.y
        writer.marks.append(ShapeMark(((x, top + side), (x + side / 2, top + 1), (x + side, top + side))))
    if called or how:
        writer.marks.append(TextMark(x + side + 3, writer.y, f"{called} {how}".strip(), writer.size))
    writer.y += writer.size * LEADING


def _either(answers: Sequence[str]) -> str:
    return " or ".join(f'"{answer}"' for answer in answers)


def _warnings(item: Item) -> Iterator[tuple[str, bool]]:
    if item.lasts:
        yield f"It lasts: {item.lasts}.", False
    if item.no_ride:
        yield "Do not ride it before the lasting repair.", True


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
        writer = Writer(wide, size)
        writer.runs([(f"{number} {title}.", True), (words, False)], 0.0, wide)
        yield Entry(writer.y + 3.0, writer.marks)
