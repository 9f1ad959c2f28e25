"""Lays a chart out on flow sheets: which steps stand on which sheet, and where.

What does not fit goes on on another sheet, with a connector on both that names the other. Pure geometry;
the sheets draw what is decided here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from kickover.documents.charts.chart import Branch, Chart
from kickover.documents.charts.chart_order import Run, runs_of
from kickover.documents.charts.flow_band import CONNECTOR, EXIT_WIDE, FIRST_GAP, RUN_WIDE, bands_of
from kickover.documents.charts.flow_parts import (
    SMALL,
    Band,
    Box,
    Placed,
    Reading,
    Tag,
    Wire,
    branch_label,
    reading_of,
    source_tag,
    source_words,
)
from kickover.documents.dot_text import Block, Words, block
from kickover.documents.shapes import Symbol

_MIDDLE = RUN_WIDE / 2
_STEM = 10.0
_RUN_GAP = 14.0


@dataclass(slots=True)
class FlowSheet:
    """One sheet of the flow: what is drawn on it, and the cautions that its steps need."""

    symbols: list[Placed] = field(default_factory=list)
    wires: list[Wire] = field(default_factory=list)
    tags: list[Tag] = field(default_factory=list)
    cautions: dict[str, None] = field(default_factory=dict)
    used: float = 0.0

    @property
    def steps(self) -> tuple[str, ...]:
        """The steps whose symbols stand on this sheet."""
        return tuple(dict.fromkeys(symbol.step for symbol in self.symbols if symbol.step))

    def add(self, band: Band) -> None:
        """Put a band under what is there."""
        placed = band.moved(self.used)
        self.symbols += placed.symbols
        self.wires += placed.wires
        self.tags += placed.tags
        self.cautions.update(dict.fromkeys(band.cautions))
        self.used += band.height


@dataclass(frozen=True, slots=True)
class Flow:
    """All flow sheets of a chart, before their place among the other sheets is known."""

    reading: Reading
    sheets: tuple[FlowSheet, ...]

    def sheet_numbers(self, first: int) -> Mapping[str, int]:
        """The sheet on which each step stands, when the first of these sheets has the number `first`.

        Givings-up stand at the end of the ways that lead to them and have no sheet of their own.
        """
        numbers: dict[str, int] = {}
        for number, sheet in enumerate(self.sheets, first):
            for step in sheet.steps:
                numbers.setdefault(step, number)
        return numbers

    def tags(self, sheet: FlowSheet, here: int, numbers: Mapping[str, int]) -> tuple[Tag, ...]:
        """The tags of `sheet`, which has the number `here`, with the sheets that they name filled in."""
        return tuple(_with_sheets(tag, self.reading, numbers, here) for tag in sheet.tags)


def lay_out(chart: Chart, room: Callable[[Iterable[str]], float]) -> Flow:
    """Put the steps of `chart` on sheets; `room` tells how high a drawing may be beside named cautions."""
    layout = _Layout(chart, room)
    for run in runs_of(chart):
        layout.add_run(run)
    return Flow(layout.reading, tuple(layout.sheets))


def _with_sheets(tag: Tag, reading: Reading, sheets: Mapping[str, int], here: int) -> Tag:
    if not tag.steps:
        return tag
    if tag.lead == "sheet":
        number = sheets[tag.steps[0]]
        says = "this sheet" if number == here else f"sheet {number}"
    else:
        says = source_words(tag.lead, tag.steps, reading, sheets)
    return replace(tag, label=block((Words(says, SMALL),), tag.box.wide))


class _Layout:
    """Bands being put on sheets, one under the other."""

    def __init__(self, chart: Chart, room: Callable[[Iterable[str]], float]) -> None:
        self.reading = reading_of(chart)
        self.sheets = [FlowSheet()]
        self._room = room

    def add_run(self, run: Run) -> None:
        above = ""
        onward: tuple[Branch, ...] = ()
        for stage in run:
            node = stage.node
            overhead = self._arriving(node.id).height + self._leaving_height(node.id, stage.onward)
            cautions = dict.fromkeys(caution for step in stage.steps for caution in step.cautions)
            bands = bands_of(stage, self.reading, self._room(cautions) - overhead)
            for index, band in enumerate(bands):
                last = index == len(bands) - 1
                leaving = self._leaving_height(node.id, stage.onward) if last else 0.0
                joint = self._passing(above, onward, node.id) if above and index == 0 else None
                if index > 0:
                    joint = self._again(node.id)
                self._place(band, joint, leaving, (above, onward, node.id))
            above, onward = node.id, stage.onward

    def _place(
        self, band: Band, joint: Band | None, leaving: float, way: tuple[str, tuple[Branch, ...], str]
    ) -> None:
        sheet = self.sheets[-1]
        above, onward, step = way
        head = joint or self._arriving(step)
        cautions = {**sheet.cautions, **dict.fromkeys(band.cautions)}
        foot = sheet.used + _RUN_GAP + head.height + band.height + leaving
        if sheet.symbols and foot > self._room(cautions):
            if onward and joint is not None and step not in sheet.steps:
                sheet.add(self._leaving(above, onward))
                head = self._arriving(step)
            sheet = FlowSheet()
            self.sheets.append(sheet)
        elif joint is None and sheet.symbols:
            sheet.used += _RUN_GAP
        sheet.add(head)
        sheet.add(band)

    def _arriving(self, step: str) -> Band:
        """The head of a run: where it all starts, or a connector that names the steps it is reached from."""
        sources = self.reading.sources[step]
        if not sources:
            box = Box(_MIDDLE - 26, 0, 52, 18)
            start = Placed(Symbol.TERMINATOR, box, block((Words("Start", SMALL),), 50))
            return Band(18 + _STEM, (start,), (_stem(18, 18 + _STEM),))
        tag = source_tag("from", sources, self.reading, (_MIDDLE + CONNECTOR / 2 + 5, 6), FIRST_GAP + 60)
        foot = max(CONNECTOR, tag.box.y + tag.box.high) + _STEM
        return Band(foot, (self._connector(step, 0),), (_stem(CONNECTOR, foot),), (tag,))

    def _again(self, step: str) -> Band:
        """The head of a step that was begun higher up and has more ways out than fit there."""
        label = block((Words("the same step, continued", SMALL),), FIRST_GAP + 60)
        tag = Tag(Box(_MIDDLE + CONNECTOR / 2 + 5, 6, label.width, label.height), label)
        foot = CONNECTOR + _STEM
        return Band(foot, (self._connector(step, 0),), (_stem(CONNECTOR, foot),), (tag,))

    def _passing(self, above: str, onward: Sequence[Branch], step: str) -> Band:
        """The line from one step of a run to the next, with its label and what else comes in there."""
        label, high = self._line_label(above, onward)
        tags = [Tag(Box(_MIDDLE + 7, 2, label.width, label.height), label)] if label else []
        others = [source for source in self.reading.sources[step] if source != above]
        symbols: list[Placed] = []
        wires: list[Wire] = []
        if others:
            x, middle = _MIDDLE + 24, high + CONNECTOR / 2
            tag = source_tag("from", others, self.reading, (x + CONNECTOR + 5, high + 5), FIRST_GAP + 34)
            tags.append(tag)
            symbols.append(self._connector(step, high, x))
            wires.append(Wire(((x, middle), (_MIDDLE, middle))))
            high = max(high + CONNECTOR, tag.box.y + tag.box.high) + 2
        return Band(high, tuple(symbols), (_stem(0, high), *wires), tuple(tags))

    def _leaving(self, above: str, onward: Sequence[Branch]) -> Band:
        """The foot of a sheet on which a run is cut: its label, and a connector to the step that follows."""
        step = onward[0].target
        assert step is not None
        label, high = self._line_label(above, onward)
        tags = [Tag(Box(_MIDDLE + 7, 2, label.width, label.height), label)] if label else []
        tags.append(
            Tag(Box(_MIDDLE + CONNECTOR / 2 + 5, high + 6, EXIT_WIDE, 10), block((), 1), "sheet", (step,))
        )
        wire = Wire(((_MIDDLE, 0), (_MIDDLE, high)))
        return Band(high + CONNECTOR, (self._connector(step, high),), (wire,), tuple(tags))

    def _leaving_height(self, above: str, onward: Sequence[Branch]) -> float:
        return self._line_label(above, onward)[1] + CONNECTOR if onward else 0.0

    def _line_label(self, above: str, onward: Sequence[Branch]) -> tuple[Block | None, float]:
        label = branch_label(self.reading.chart.node(above), onward, FIRST_GAP + 50, 8)
        return label, max(_STEM, label.height + 6 if label else 0.0)

    def _connector(self, step: str, y: float, x: float = _MIDDLE - CONNECTOR / 2) -> Placed:
        label = block((Words(str(self.reading.numbers[step]), SMALL, bold=True),), CONNECTOR)
        return Placed(Symbol.CONNECTOR, Box(x, y, CONNECTOR, CONNECTOR), label, leads_to=step)


def _stem(top: float, foot: float) -> Wire:
    return Wire(((_MIDDLE, top), (_MIDDLE, foot)), arrow=False)
