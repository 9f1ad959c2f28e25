"""The chart for the wall and the card for the pouch: so many pages, and the best chart that they hold."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from kickover.documents.charts.chart import A_PAGE, MOST_PAGES, Chart, ChartMaker
from kickover.documents.charts.layout import caution_entries, entries_of
from kickover.documents.page_layout import (
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
    Writer,
    column_of,
    flowed,
    lines_entry,
    lines_of,
    sheets_of,
)

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
    column, across = column_of(paper, count), wide - 2 * MARGIN
    size = SIZE + 2 if paper == "a3" else SIZE
    head = _head(chart, date, across, size)
    foot = lines_of([(_sentence(chart), False, size)], across)

    def filled(*entries: Entry) -> list[list[Panel]]:
        tops = (MARGIN + head.y + 8, MARGIN + 14)
        return sheets_of(paper, count, entries, tops, foot.y + 18)

    entries = [*entries_of(chart, column, size), *_caution_block(chart, column, size)]
    pages = filled(*entries)
    for figure in chart.figures:
        drawn = figure.marked.entry(figure.marked.drawing.title, figure.legend, column)
        more = filled(*entries, drawn)
        if len(more) <= len(pages):
            entries, pages = [*entries, drawn], more
    running = lines_of([(f"{chart.title} · {chart.machine}", True, size)], across).marks[:1]
    bottom = Area(MARGIN, high - MARGIN - foot.y - 12, across, foot.y + 6)
    made = []
    for number, group in enumerate(pages, start=1):
        title = Panel(Area(MARGIN, MARGIN, across, 0), tuple(head.marks if number == 1 else running))
        page_of = TextMark(0, foot.y, f"Page {number} of {len(pages)}", size)
        made.append(PrintedPage(wide, high, (title, *group, Panel(bottom, (*foot.marks, page_of)))))
    return tuple(made)


def card_page(chart: Chart, paper: str, date: str) -> tuple[PrintedPage, ...]:
    """One lying sheet in eight panels: four below as they are read, four above upside down, for folding."""
    high, wide = STANDING[paper]
    panel_wide, panel_high = wide / 4, high / 2
    inner = panel_wide - 2 * CARD_MARGIN * 0.6

    def areas() -> Iterator[Area]:
        while True:
            for number in range(PANELS):
                below, place = divmod(number, 4)
                x = place * panel_wide if not below else (3 - place) * panel_wide
                y = panel_high if not below else 0.0
                room = panel_high - 2 * CARD_MARGIN
                yield Area(x + CARD_MARGIN * 0.6, y + CARD_MARGIN, inner, room, turned=bool(below))

    title = (f"{chart.title}: {chart.machine}", True, SIZE + 1)
    said = [title, (_sentence(chart), False, SIZE), (f"{chart.version}, {date}.", False, SIZE)]
    head = lines_of(said, inner, apart=2.0)
    entries = [Entry(head.y + 8, head.marks), *entries_of(chart, inner)]
    panels = list(flowed([*entries, *_caution_block(chart, inner, SIZE, short=True)], areas()))
    folds = Panel(Area(0, 0, wide, high), tuple(_folds(wide, high)))
    return tuple(
        PrintedPage(wide, high, (folds, *panels[at : at + PANELS])) for at in range(0, len(panels), PANELS)
    )


def _folds(wide: float, high: float) -> Iterator[Mark]:
    yield LineMark(((0, high / 2), (wide, high / 2)), 0.3)
    for number in (1, 2, 3):
        yield LineMark(((wide * number / 4, 0), (wide * number / 4, high)), 0.3)


def _caution_block(chart: Chart, wide: float, size: float, short: bool = False) -> list[Entry]:
    if not chart.cautions:
        return []
    writer = Writer(wide, size)
    writer.marks.append(LineMark(((0.0, 0.0), (wide, 0.0)), 1.2))
    writer.y = 4.0
    words = "Cautions, called by number beside a triangle. Local law and licensed practice come first."
    writer.lines(words, 0.0, wide, bold=True)
    head = Entry(writer.y + 6, writer.marks, holds=True)
    if short:
        titles = "; ".join(f"{number} {title}" for number, (title, _) in enumerate(chart.cautions, start=1))
        return [head, lines_entry([(titles, False)], wide, size)]
    return [head, *caution_entries(chart, wide, size)]


def _head(chart: Chart, date: str, wide: float, size: float) -> Writer:
    invented = " The machine is invented, for the demonstration." if chart.invented else ""
    writer = lines_of(
        (
            (chart.title, True, size + 7),
            (f"{chart.machine}. With: {chart.kit}.", True, size),
            (f"{chart.version}, printed {date}.{invented}", False, size),
            (f"Needed: {chart.needed}." if chart.needed else "Needs no tools.", False, size),
            (
                "Start at the top left. A diamond asks, a square mends: then try whether it is cured. In a "
                "table mend only after the answers named, else go on to the next row. What was found or done "
                "before counts: not twice. How to do it stands in the booklet under the number after 'how'.",
                False,
                size,
            ),
        ),
        wide,
    )
    writer.y += 3
    writer.marks.append(LineMark(((0.0, writer.y), (wide, writer.y)), 1.2))
    return writer


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
