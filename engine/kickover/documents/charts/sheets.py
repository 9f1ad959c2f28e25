"""Makes a set of printed sheets of a chart: contents, flow, steps in full, finishing lists, tools, limits.

Every sheet has the machine, the library's version, the date that is handed in, and its number of how many.
No text is smaller than 8 points; what does not fit goes on on another sheet, with a link.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import accumulate

from kickover.documents.charts.chart import Chart, FinishingList
from kickover.documents.charts.flow_band import WIDTH
from kickover.documents.charts.flow_layout import Flow, FlowSheet, lay_out
from kickover.documents.charts.flow_parts import SMALL, TRIANGLE, Box, Placed, clipped, sign_height
from kickover.documents.charts.list_text import list_name
from kickover.documents.charts.sheet_lists import heading_row, list_pieces, work_pieces
from kickover.documents.charts.sheet_pieces import GUTTER, Column, Piece, caution_box, in_columns
from kickover.documents.charts.sheet_text import (
    cautions_pieces,
    contents_pieces,
    front_pieces,
    limits_pieces,
    sheet_place,
    step_place,
    steps_pieces,
    tools_pieces,
)
from kickover.documents.dot_text import Words, block
from kickover.documents.paper import MARGIN, PdfCanvas, paper_named

_HEADER = 22.0
_FOOTER = 17.0
_STRIP_COLUMNS = 3
_STRIP_GAP = 8.0
_STRIP_SHARE = 0.42


def chart_pdf(chart: Chart, date: str, paper: str = "a4") -> bytes:
    """The set of sheets as a PDF on `a4` or `letter` paper, lying. Raises PaperError for any other.

    The same chart, date and paper give the same bytes.
    """
    return _Set(chart, date, paper).pdf()


class _Set:
    def __init__(self, chart: Chart, date: str, paper: str) -> None:
        self._chart = chart
        self._date = date
        self._press = PdfCanvas(paper_named(paper), f"{chart.complaint} – {chart.machine}")
        self._wide = paper_named(paper).wide - 2 * MARGIN
        self._top = MARGIN + _HEADER
        self._high = paper_named(paper).high - 2 * MARGIN - _HEADER - _FOOTER
        self._column = (self._wide - GUTTER) / 2
        self._number = 0
        self._total = 0

    def pdf(self) -> bytes:
        chart, wide = self._chart, self._column
        flow = lay_out(chart, self._room)
        front = list(front_pieces(chart, self._date, wide))
        first = _pages(self._front(front, flow, 1, (1,) * (len(chart.lists) + 3))) + 1
        sheets = flow.sheet_numbers(first)
        steps = self._columns(steps_pieces(chart, flow.reading.numbers, sheets, wide))
        steps_from = first + len(flow.sheets)
        lists_from = steps_from + _pages(steps)
        head = heading_row(self._wide)
        lists = [
            in_columns(list(list_pieces(flow.reading, list_, sheets, self._wide)), self._high - head.high)
            for list_ in chart.lists
        ]
        at = list(accumulate([lists_from, *(len(pages) for pages in lists)]))
        work = self._columns(work_pieces(chart, wide)) if chart.lists else ()
        tools_from = at[-1] + _pages(work)
        tools = self._columns(
            [
                *tools_pieces(chart, flow.reading.numbers, wide),
                *limits_pieces(chart, wide),
                *cautions_pieces(chart, wide),
            ]
        )
        self._total = tools_from + _pages(tools) - 1
        self._text_pages(self._front(front, flow, first, (steps_from, *at, tools_from)), "Contents")
        sheets = {**sheets, **{one.node: number for one, number in zip(chart.lists, at, strict=False)}}
        for sheet in flow.sheets:
            self._flow_page(flow, sheet, sheets)
        self._text_pages(steps, "Steps")
        for one, pages in zip(chart.lists, lists, strict=True):
            for index, column in enumerate(pages):
                self._list_page(one, column, None if index == 0 else head)
        self._text_pages(work, "The work of the lists")
        self._text_pages(tools, "Tools, limits and cautions")
        return self._press.pdf()

    def _columns(self, pieces: Iterable[Piece]) -> tuple[Column, ...]:
        return in_columns(list(pieces), self._high)

    def _front(
        self, front: Sequence[Piece], flow: Flow, first: int, others: Sequence[int]
    ) -> tuple[Column, ...]:
        """The front matter in the first column, the contents beside it, each going on where it must.

        `first` is the number of the first flow sheet; `others` those of the steps, of each list,
        of the work of the lists, of the tools.
        """
        left = self._columns(front)
        right = self._columns(contents_pieces(flow, first, others, self._column))
        return (left[0], right[0], *left[1:], *right[1:])

    def _list_page(self, listed: FinishingList, column: Column, head: Piece | None) -> None:
        """One sheet of a list; one that goes on has the headings again."""
        self._begin(f"{list_name(listed)}{', continued' if head else ''}")
        if head:
            head.draw(self._press, MARGIN, self._top)
        else:
            self._press.place(step_place(listed.node), MARGIN)
        top = self._top + (head.high if head else 0.0)
        for piece, down in column.pieces:
            piece.draw(self._press, MARGIN, top + down)
        self._end()

    def _begin(self, title: str) -> None:
        self._number += 1
        canvas = self._press
        canvas.place(sheet_place(self._number), 0)
        canvas.entry(f"{self._number} {title}", sheet_place(self._number))
        heading = clipped((Words(f"{self._chart.complaint} · {title}", 10, bold=True),), self._wide * 0.56, 1)
        machine = clipped((Words(self._chart.machine, SMALL),), self._wide * 0.4, 1)
        canvas.block(heading, MARGIN, MARGIN)
        canvas.right(machine.lines[0], MARGIN + self._wide, MARGIN + 2)
        canvas.line(((MARGIN, MARGIN + 16), (MARGIN + self._wide, MARGIN + 16)), 0.6)

    def _end(self) -> None:
        canvas = self._press
        y = canvas.paper.high - MARGIN - 11
        canvas.line(((MARGIN, y - 3), (MARGIN + self._wide, y - 3)), 0.6)
        left = clipped((Words(f"{self._chart.library} · {self._date}", SMALL),), self._wide * 0.6, 1)
        canvas.block(left, MARGIN, y)
        canvas.right(Words(f"Sheet {self._number} of {self._total}", SMALL), MARGIN + self._wide, y)
        middle = block((Words("Contents", SMALL),), 60)
        x = MARGIN + self._wide * 0.68
        canvas.block(middle, x, y)
        canvas.link(sheet_place(1), Box(x, y, middle.width, middle.height))
        canvas.next_page()

    def _text_pages(self, columns: Sequence[Column], title: str) -> None:
        for index in range(0, len(columns), 2):
            self._begin(title)
            for place, column in enumerate(columns[index : index + 2]):
                x = MARGIN + place * (self._column + GUTTER)
                for piece, down in column.pieces:
                    piece.draw(self._press, x, self._top + down)
            self._end()

    def _flow_page(self, flow: Flow, sheet: FlowSheet, sheets: Mapping[str, int]) -> None:
        steps = sorted(flow.reading.numbers[step] for step in sheet.steps)
        self._begin(f"steps {steps[0]} to {steps[-1]}" if len(steps) > 1 else f"step {steps[0]}")
        canvas = self._press
        left = MARGIN + (self._wide - WIDTH) / 2
        for wire in sheet.wires:
            canvas.wire(wire.moved(self._top, left))
        for placed in sheet.symbols:
            self._symbol(placed, left)
        for tag in flow.tags(sheet, self._number, sheets):
            canvas.block(tag.label, tag.box.x + left, tag.box.y + self._top)
        strip, high = self._strip(sheet.cautions)
        y = self._top + self._high - high
        for piece, x, down in strip:
            piece.draw(canvas, MARGIN + x, y + down)
        self._end()

    def _symbol(self, placed: Placed, left: float) -> None:
        box = placed.box.moved(self._top, left)
        self._press.symbol(replace(placed, box=box))
        if placed.warns:
            self._press.warning(box.x + 3, box.y + 1 - sign_height(placed.symbol), TRIANGLE)
        target = placed.step or placed.leads_to
        if target:
            self._press.link(step_place(target), box)

    def _room(self, cautions: Iterable[str]) -> float:
        return self._high - self._strip(cautions)[1] - 6

    def _strip(self, cautions: Iterable[str]) -> tuple[list[tuple[Piece, float, float]], float]:
        """The caution boxes at the foot of a flow sheet, side by side, and how high they are together."""
        wide = (self._wide - _STRIP_GAP * (_STRIP_COLUMNS - 1)) / _STRIP_COLUMNS
        named = [self._chart.caution(caution) for caution in cautions]
        placed: list[tuple[Piece, float, float]] = []
        high = 0.0
        for most in range(9, 0, -1):
            boxes = [caution_box(one.title, one.words, wide, most=most) for one in named]
            placed, high = _side_by_side(boxes, wide)
            if high <= self._high * _STRIP_SHARE:
                break
        return placed, high


def _side_by_side(boxes: Sequence[Piece], wide: float) -> tuple[list[tuple[Piece, float, float]], float]:
    foot = [0.0] * _STRIP_COLUMNS
    placed: list[tuple[Piece, float, float]] = []
    for box in boxes:
        column = foot.index(min(foot))
        placed.append((box, column * (wide + _STRIP_GAP), foot[column]))
        foot[column] += box.high
    return placed, max(foot)


def _pages(columns: Sequence[Column]) -> int:
    return (len(columns) + 1) // 2
