"""A fault tree as printed pages: a branch on each, the top event at the top; at the end an index of causes.

Below the top event its inputs hang from one line, with their own inputs to the right, so that no line
crosses another. Numbers of transfers are those of pages, both at the branch and at where it is called.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kickover.core.ids import EventId
from kickover.documents.page_layout import (
    LEADING,
    MARGIN,
    SIZE,
    STANDING,
    Area,
    LineMark,
    LinkMark,
    Mark,
    Panel,
    PrintedPage,
    TextMark,
    Writer,
    column_of,
    lines_entry,
    moved,
    rectangle,
    sheets_of,
)
from kickover.documents.trees.branches import TreeError, branches_of
from kickover.documents.trees.event_labels import EventLabels
from kickover.documents.trees.fault_tree import find_subject, heading_of
from kickover.documents.trees.page_symbols import NOTE, SYMBOL, Symbol, legend_marks, symbol_marks
from kickover.documents.trees.paging import BranchPage, branch_pages, first_fit, rows_of, transfers_of
from kickover.model.library import Input, Library, Machine
from kickover.model.undeveloped import with_undeveloped

_STEP = 22.0
"""Between the levels, in points."""
_BESIDE = {1: 170.0, 2: 130.0, 3: 104.0}
"""Room for the checks beside an event, by the levels of a page."""
_PAD = 4.0
_PORT = 11.0
"""How far below the top of an event its line runs."""
_BETWEEN = 5.0
_APART = 12.0
"""Between two branches on a sheet."""
_TOP_SIZE = 12.0
_FOOT = 16.0
_INDEX_COLUMNS = 3


@dataclass(frozen=True, slots=True)
class PrintedTree:
    """The pages of a tree, and for each cause under it the numbers of the pages that it stands on."""

    title: str
    pages: tuple[PrintedPage, ...]
    index: Mapping[EventId, tuple[int, ...]]


def tree_pages(
    library: Library, name: str, machine: Machine | None, paper: str, date: str, *, named_tree: bool = True
) -> PrintedTree:
    """The pages of the tree, complaint or event `name`, without what `machine` cannot have.

    Raises UnknownTreeError for a name that is not there, TreeError for a loop or for a tree of which the
    machine can have nothing.
    """
    subject = find_subject(library, name, named_tree)
    head = heading_of(library, subject, machine)
    grown = with_undeveloped(library, machine)
    branches = branches_of(grown, subject.tops, machine)
    tops = tuple(top for top in subject.tops if top not in branches.impossible)
    if not tops:
        if machine is None:
            raise TreeError(f"{name!r}: nothing can be drawn below it; run: kickover check")
        raise TreeError(f"{name!r}: {machine.title} cannot have this; draw it without --machine")
    return _PageMaker(EventLabels(grown, branches), tops, head, paper, date).printed()


class _PageMaker:
    """Lays the pages of one tree out."""

    def __init__(
        self, labels: EventLabels, tops: tuple[EventId, ...], head: Sequence[str], paper: str, date: str
    ) -> None:
        self._labels, self._tops, self._head, self._date = labels, tops, head, date
        self._name, self._paper = paper, STANDING[paper]
        self._wide = self._paper[0] - 2 * MARGIN
        self._legend, self._legend_high = legend_marks(self._wide)
        self._first: dict[EventId | None, int] = {}
        self._called: dict[EventId, list[int]] = {}
        cut = branch_pages(labels.branches, tops, self._height, self._room)
        room = self._sheet_room(2)
        highs = [room - self._room(page.top) + self._high(page) for page in cut]
        self._sheets = first_fit(cut, highs, room, _APART)
        for number, sheet in enumerate(self._sheets, start=1):
            for page in sheet:
                self._first[page.top] = min(number, self._first.get(page.top, number))
                for event in transfers_of(labels.branches, page):
                    self._called.setdefault(event, []).append(number)

    def printed(self) -> PrintedTree:
        """All pages, the index last."""
        index = self._index()
        listed = self._index_panels(index)
        total = len(self._sheets) + len(listed)
        pages = [self._page(number, sheet, total) for number, sheet in enumerate(self._sheets, start=1)]
        for number, panels in enumerate(listed, start=len(self._sheets) + 1):
            pages.append(self._sheet(number, total, "index of causes", panels))
        return PrintedTree(self._head[0], tuple(pages), index)

    def _index(self) -> dict[EventId, tuple[int, ...]]:
        found: dict[EventId, list[int]] = {}
        causes = self._labels.library.causes
        for number, sheet in enumerate(self._sheets, start=1):
            there = [
                event
                for page in sheet
                for event in (page.top, *(one.event for one, _ in rows_of(self._labels.branches, page)))
            ]
            for event in dict.fromkeys(there):
                if event is not None and event in causes and not causes[event].undeveloped:
                    found.setdefault(event, []).append(number)
        return {event: tuple(numbers) for event, numbers in found.items()}

    # How much room there is.

    def _column(self, levels: int) -> float:
        return (self._wide - _STEP - _BESIDE[levels]) / levels - _STEP

    def _height(self, one: Input, levels: int) -> float:
        wide = self._column(levels) - SYMBOL - 2 * _PAD
        inside = self._labels.inside(one.event, wide, one.chance).y + 2 * _PAD
        gate = self._labels.branches.is_gate(one.event)
        beside = [] if gate else self._labels.beside(one.event, _BESIDE[levels] - 6)
        return max(inside, len(beside) * NOTE * LEADING, SYMBOL) + _BETWEEN

    def _room(self, top: EventId | None) -> float:
        """The height left below the top event `top` of a sheet of its own."""
        first = top is None or top in self._tops
        _, above = self._top(top, "", [] if first else [1])
        return self._sheet_room(1 if first else 2) - above

    def _sheet_room(self, number: int) -> float:
        _, head = self._heading(number, "")
        return self._paper[1] - 2 * MARGIN - head - self._legend_high - _FOOT - 12.0

    def _high(self, page: BranchPage) -> float:
        """The height of a branch below its top event."""
        return self._hanging(page, page.inputs, 1, SYMBOL / 2, 4.0)[1]

    # What stands on a page.

    def _heading(self, number: int, says: str) -> tuple[list[Mark], float]:
        writer = Writer(self._wide, SIZE)
        if number == 1:
            writer.lines(self._head[0], 0.0, self._wide, bold=True, size=16.0)
            for line in self._head[1:]:
                writer.lines(line, 0.0, self._wide)
        else:
            writer.lines(f"{self._head[0]}{says}", 0.0, self._wide, bold=True)
        writer.marks.append(LineMark(((0.0, writer.y + 3), (self._wide, writer.y + 3)), 1.2))
        return writer.marks, writer.y + 10.0

    def _sheet(
        self, number: int, total: int, says: str, panels: Sequence[Panel], *, legend: bool = False
    ) -> PrintedPage:
        wide, high = self._paper
        head, _ = self._heading(number, f" · {says}" if says else "")
        foot = high - MARGIN - _FOOT + 4.0
        line = TextMark(0.0, 0.0, f"Page {number} of {total}. Printed {self._date}.", SIZE)
        edges = [self._panel(MARGIN, head), self._panel(foot, [line])]
        if legend:
            edges.append(self._panel(foot - self._legend_high - 4.0, self._legend))
        return PrintedPage(wide, high, (*edges, *panels))

    def _panel(self, y: float, marks: Sequence[Mark]) -> Panel:
        return Panel(Area(MARGIN, y, self._wide, 0.0), tuple(marks))

    def _page(self, number: int, sheet: Sequence[BranchPage], total: int) -> PrintedPage:
        _, down = self._heading(number, "")
        panels: list[Panel] = []
        for page in sheet:
            says = f"{page.part} of {page.parts}" if page.parts > 1 else ""
            called = [] if page.top is None else self._called.get(page.top, [])
            top, above = self._top(page.top, says, called)
            marks, high = self._hanging(page, page.inputs, 1, SYMBOL / 2, 4.0)
            stem = [LineMark(((SYMBOL / 2, 0.0), (SYMBOL / 2, 4.0 + _PORT)))] if page.inputs else []
            panels += [self._panel(MARGIN + down, top), self._panel(MARGIN + down + above, [*stem, *marks])]
            down += above + high + _APART
        return self._sheet(number, total, "", panels, legend=True)

    def _top(self, top: EventId | None, part: str, called: Sequence[int]) -> tuple[list[Mark], float]:
        """The top event of a page, with where it is called; its inputs hang from its foot."""
        marks: list[Mark] = []
        high = 0.0
        if called:
            marks += symbol_marks(Symbol.TRANSFER, SYMBOL / 2, SYMBOL / 2)
            marks.append(LineMark(((SYMBOL / 2, SYMBOL - 3), (SYMBOL / 2, SYMBOL + 2))))
            pages = "page" if len(called) == 1 else "pages"
            says = f"comes from {pages} {', '.join(map(str, called))}"
            marks.append(TextMark(SYMBOL + 6, 6, says, SIZE))
            marks.append(LinkMark(((0.0, 0.0), (150.0, SYMBOL)), called[0]))
            high = SYMBOL + 2
        writer = Writer(self._wide - 2 * _PAD, SIZE)
        title = self._head[0].partition(": ")[2] if top is None else self._labels.library.title_of(top)
        writer.lines(f"{title} ({part})" if part else title, 0.0, writer.wide, bold=True, size=_TOP_SIZE)
        if top is not None:
            said = [*self._labels.small(top), *self._labels.beside(top, writer.wide)]
            for line in (*said, *(f"True with this: {house}" for house in self._labels.implied(top))):
                writer.lines(line, 0.0, writer.wide, size=NOTE)
        foot = writer.y + 2 * _PAD
        marks += moved(writer.marks, _PAD, high + _PAD)
        marks.append(rectangle(0.0, high, self._wide, foot))
        high += foot
        if top is not None:
            marks.append(LineMark(((SYMBOL / 2, high), (SYMBOL / 2, high + 4))))
            middle = high + SYMBOL / 2 + 2
            marks += symbol_marks(self._labels.symbol(top), SYMBOL / 2, middle, self._labels.mark(top))
            high += SYMBOL
        return marks, high

    def _hanging(
        self, page: BranchPage, inputs: Sequence[Input], level: int, trunk: float, y: float
    ) -> tuple[list[Mark], float]:
        """Inputs one under the other, hanging from a line at `trunk`; and how far down they reach."""
        column = self._column(page.levels)
        left = _STEP + (level - 1) * (column + _STEP)
        marks: list[Mark] = []
        first = last = y + _PORT
        for one in inputs:
            last = y + _PORT
            marks.append(LineMark(((trunk, last), (left, last))))
            drawn = page.is_drawn(one.event, level)
            event, high = self._event(one, page.levels, drawn=drawn)
            marks += moved(event, left, y)
            foot = y + high
            if drawn:
                onward = left + column + _STEP / 2
                marks.append(LineMark(((left + column, last), (onward, last))))
                below, reached = self._hanging(
                    page, self._labels.branches.inputs[one.event], level + 1, onward, y
                )
                marks += below
                foot = max(foot, reached)
            y = foot
        if last > first:
            marks.append(LineMark(((trunk, first), (trunk, last))))
        return marks, y

    def _event(self, one: Input, levels: int, *, drawn: bool) -> tuple[list[Mark], float]:
        """One event with its symbol and what stands beside it; and its height."""
        event, column = one.event, self._column(levels)
        writer = self._labels.inside(event, column - SYMBOL - 2 * _PAD, one.chance)
        high = max(writer.y + 2 * _PAD, SYMBOL)
        marks: list[Mark] = [rectangle(0.0, 0.0, column - SYMBOL, high)]
        marks += moved(writer.marks, _PAD, _PAD)
        if one.chance < 1.0:
            marks += symbol_marks(Symbol.LINK, _PAD + 6, _PAD + NOTE * 0.65)
        transfer = self._labels.branches.is_gate(event) and not drawn
        symbol = Symbol.TRANSFER if transfer else self._labels.symbol(event)
        marks += symbol_marks(symbol, column - SYMBOL / 2, _PORT, self._labels.mark(event))
        beside: list[str] = []
        if transfer:
            says = f"page {self._first[event]}" if event in self._first else "on this page"
            marks.append(TextMark(column + 6, _PORT - 5, says, SIZE, bold=True))
            if event in self._first:
                marks.append(LinkMark(((column - SYMBOL, 0.0), (column + 50, SYMBOL)), self._first[event]))
        elif not drawn:
            beside = self._labels.beside(event, _BESIDE[levels] - 6)
        for number, line in enumerate(beside):
            marks.append(TextMark(column + 6, 1 + number * NOTE * LEADING, line, NOTE))
        return marks, max(high, len(beside) * NOTE * LEADING) + _BETWEEN

    def _index_panels(self, index: Mapping[EventId, Sequence[int]]) -> list[list[Panel]]:
        titles = sorted((self._labels.library.title_of(event), pages) for event, pages in index.items())
        numbers = {title: ",\u00a0".join(map(str, pages)) for title, pages in titles}
        column = column_of(self._name, _INDEX_COLUMNS)
        entries = [lines_entry([(f"{title}: {at}", False)], column) for title, at in numbers.items()]
        top = MARGIN + 26.0
        return sheets_of(self._name, _INDEX_COLUMNS, entries, (top, top), _FOOT + 4.0)
