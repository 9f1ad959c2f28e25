"""The chart for the wall and the card for the pouch: so many pages, and the best chart that they hold."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from kickover.documents.charts.chart import Chart, ChartMaker
from kickover.documents.charts.layout import caution_entries, entries_of
from kickover.documents.page_layout import (
    GUTTER,
    LEADING,
    MARGIN,
    SIZE,
    STANDING,
    Area,
    Entry,
    LineMark,
    Mark,
    Panel,
    PrintedPage,
    TextMark,
    flowed,
)
from kickover.documents.text import wrap

A_PAGE = 36
"""More boxes and rows than this never stand on a page."""
MOST_PAGES = 6
WORTH_A_PAGE = 0.015
"""A further page is printed where it mends so much more of all engines."""
CARD_MARGIN = 20.0
"""7 mm."""
PANELS = 8


@dataclass(frozen=True, slots=True)
class PrintedChart:
    """A chart with its pages."""

    chart: Chart
    pages: tuple[PrintedPage, ...]


def wall_set(maker: ChartMaker, paper: str, date: str, pages: int | None = None) -> PrintedChart:
    """The best chart on so many pages; without a number on as many as are worth their paper."""
    if pages is not None:
        return _fitted(maker, lambda chart: wall_pages(chart, paper, date), pages)
    best = _fitted(maker, lambda chart: wall_pages(chart, paper, date), 1)
    for number in range(2, MOST_PAGES + 1):
        more = _fitted(maker, lambda chart: wall_pages(chart, paper, date), number)
        if more.chart.mended < best.chart.mended + WORTH_A_PAGE * (number - len(best.pages)):
            break
        best = more
    return best


def pouch_card(maker: ChartMaker, paper: str, date: str) -> PrintedChart:
    """The best chart on one sheet that is folded to eight panels."""
    return _fitted(maker, lambda chart: card_page(chart, paper, date), 1)


def _fitted(
    maker: ChartMaker, pages_of: Callable[[Chart], tuple[PrintedPage, ...]], most: int
) -> PrintedChart:
    """The chart with the most room that still fits on `most` pages: halving the room that is in doubt."""
    low, high = 4, A_PAGE * most
    found: PrintedChart | None = None
    while low <= high:
        room = (low + high + 1) // 2
        chart = maker.chart(room)
        pages = pages_of(chart)
        if len(pages) <= most:
            if found is None or chart.loss <= found.chart.loss:
                found = PrintedChart(chart, pages)
            low = room + 1
        else:
            high = room - 1
    if found is None:
        chart = maker.chart(4)
        found = PrintedChart(chart, pages_of(chart))
    return found


def wall_pages(chart: Chart, paper: str, date: str) -> tuple[PrintedPage, ...]:
    """The pages of a chart: head on the first, columns of boxes, rows and cautions, a foot on each.

    Where they leave room, drawings of the places of its steps fill it; none of them adds a page.
    """
    wide, high = STANDING[paper]
    count = 3 if paper == "a3" else 2
    column = (wide - 2 * MARGIN - (count - 1) * GUTTER) / count
    size = SIZE + 2 if paper == "a3" else SIZE
    head = _head(chart, date, wide - 2 * MARGIN, size)
    foot = _foot(chart, wide - 2 * MARGIN, size)
    foot_high = _height(foot) + 6

    def areas() -> Iterator[Area]:
        top = MARGIN + _height(head) + 8
        while True:
            for number in range(count):
                yield Area(
                    MARGIN + number * (column + GUTTER), top, column, high - MARGIN - foot_high - top - 12
                )
            top = MARGIN + 14

    entries = [*entries_of(chart, column, size), *_caution_block(chart, column, size)]
    panels = list(flowed(entries, areas()))
    most = -(-len(panels) // count) * count
    for figure in chart.figures:
        drawn = figure.marked.entry(figure.marked.drawing.title, figure.legend, column)
        more = list(flowed([*entries, drawn], areas()))
        if len(more) <= most:
            entries.append(drawn)
            panels = more
    pages = [panels[at : at + count] for at in range(0, len(panels), count)]
    made = []
    running = f"{chart.title} · {chart.machine}"
    for number, group in enumerate(pages, start=1):
        title = head if number == 1 else _lines(running, wide - 2 * MARGIN, size, bold=True)[:1]
        labels = frozenset(label for _, there in group for label in there)
        bottom = Area(MARGIN, high - MARGIN - foot_high - 6, wide - 2 * MARGIN, foot_high)
        page_of = TextMark(0, _height(foot), f"Page {number} of {len(pages)}", size)
        made.append(
            PrintedPage(
                wide,
                high,
                (
                    Panel(Area(MARGIN, MARGIN, wide - 2 * MARGIN, 0), tuple(title)),
                    *(panel for panel, _ in group),
                    Panel(bottom, (*foot, page_of)),
                ),
                labels,
            )
        )
    return tuple(made)


def card_page(chart: Chart, paper: str, date: str) -> tuple[PrintedPage, ...]:
    """One lying sheet in eight panels: four below as they are read, four above upside down, for folding."""
    high, wide = STANDING[paper]
    panel_wide, panel_high = wide / 4, high / 2
    inner = panel_wide - 2 * CARD_MARGIN * 0.6
    size = SIZE

    def areas() -> Iterator[Area]:
        while True:
            for number in range(PANELS):
                below, place = divmod(number, 4)
                x = place * panel_wide if not below else (3 - place) * panel_wide
                y = panel_high if not below else 0.0
                room = panel_high - 2 * CARD_MARGIN
                yield Area(x + CARD_MARGIN * 0.6, y + CARD_MARGIN, inner, room, turned=bool(below))

    head = [*_lines(f"{chart.title}: {chart.machine}", inner, size + 1, bold=True)]
    for words in (_sentence(chart), f"{chart.version}, {date}."):
        head += _lines(words, inner, size, top=_height(head) + 2)
    entries = [Entry(_height(head) + 8, list(head)), *entries_of(chart, inner, size)]
    entries += [*_caution_block(chart, inner, size, short=True)]
    panels = list(flowed(entries, areas()))
    pages = []
    for at in range(0, len(panels), PANELS):
        group = panels[at : at + PANELS]
        labels = frozenset(label for _, there in group for label in there)
        folds = Panel(Area(0, 0, wide, high), tuple(_folds(wide, high)))
        pages.append(PrintedPage(wide, high, (folds, *(panel for panel, _ in group)), labels))
    return tuple(pages)


def _folds(wide: float, high: float) -> Iterator[Mark]:
    yield LineMark(((0, high / 2), (wide, high / 2)), 0.3)
    for number in (1, 2, 3):
        yield LineMark(((wide * number / 4, 0), (wide * number / 4, high)), 0.3)


def _caution_block(chart: Chart, wide: float, size: float, short: bool = False) -> list[Entry]:
    if not chart.cautions:
        return []
    words = "Cautions, called by number beside a triangle. Local law and licensed practice come first."
    marks: list[Mark] = [LineMark(((0.0, 0.0), (wide, 0.0)), 1.2)]
    marks += _lines(words, wide, size, bold=True, top=4.0)
    head = Entry(_height(marks) + 6, marks, holds=True)
    if short:
        titles = "; ".join(f"{number} {title}" for number, (title, _) in enumerate(chart.cautions, start=1))
        listed = _lines(titles, wide, size)
        return [head, Entry(_height(listed) + 4, list(listed))]
    return [head, *caution_entries(chart, wide, size)]


def _head(chart: Chart, date: str, wide: float, size: float) -> list[Mark]:
    invented = " The machine is invented, for the demonstration." if chart.invented else ""
    marks = list(_lines(chart.title, wide, size + 7, bold=True))
    lines = (
        (f"{chart.machine}. With: {chart.kit}.", True),
        (f"{chart.version}, printed {date}.{invented}", False),
        (f"Needed: {chart.needed}." if chart.needed else "Needs no tools.", False),
        (
            "Start at the top left. A diamond asks, a square mends: then try whether it is cured. In a table "
            "mend only after the answers named, else go on to the next row. What was found or done before "
            "counts: not twice. How to do it stands in the booklet under the number after 'how'.",
            False,
        ),
    )
    for says, bold in lines:
        marks += _lines(says, wide, size, bold, top=_height(marks) + 1)
    marks.append(LineMark(((0.0, _height(marks) + 3), (wide, _height(marks) + 3)), 1.2))
    return marks


def _foot(chart: Chart, wide: float, size: float) -> list[Mark]:
    return _lines(_sentence(chart), wide, size)


def _sentence(chart: Chart) -> str:
    mended, minutes = chart.at_lines
    calling = f" ({100 * mended:.0f} in {minutes:.0f} by who calls where it says so)"
    return (
        f"Of 100 such engines about {100 * chart.mended:.0f} are mended with this paper, in "
        f"{chart.minutes:.0f} "
        f"minutes on average, one not mended taken as {chart.give_up:.0f}"
        f"{calling if chart.mended > mended else ''}; the walk in the terminal takes at "
        f"most {chart.planned:.0f} by its plan. By judged rates, not by a survey."
    )


def _lines(words: str, wide: float, size: float, bold: bool = False, top: float = 0.0) -> list[Mark]:
    found: list[Mark] = []
    for number, line in enumerate(wrap(words, wide, size, bold)):
        found.append(TextMark(0.0, top + number * size * LEADING, line, size, bold))
    return found


def _height(marks: Sequence[Mark]) -> float:
    bottoms = [
        mark.y + mark.size * LEADING if isinstance(mark, TextMark) else max(y for _, y in mark.points)
        for mark in marks
    ]
    return max(bottoms, default=0.0)
