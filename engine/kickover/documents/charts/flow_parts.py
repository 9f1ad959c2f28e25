"""What a flow sheet is made of, as values: symbols, lines, labels and connectors, placed in points.

Coordinates run right and down from the top left corner of the drawing area. Nothing here draws.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from kickover.documents import text
from kickover.documents.charts.chart import Branch, Chart, Node
from kickover.documents.charts.chart_order import in_order, numbered
from kickover.documents.dot_text import LINE_HEIGHT, Block, Words, block
from kickover.documents.model_wording import branch_lines, minutes_words
from kickover.documents.shapes import MANUAL_SLANT, SYMBOL_OF, Point, Symbol

TEXT = 9.0
SMALL = 8.0
"""No text on a sheet is smaller than this, in points."""
TRIANGLE = 15.0
MOST_LINES = 5
"""A title longer than this ends in an ellipsis; the steps that follow the flow sheets give it whole."""


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle: its left and top edge, width and height."""

    x: float
    y: float
    wide: float
    high: float

    def moved(self, down: float, right: float = 0.0) -> Box:
        """The same rectangle further down, or to the right."""
        return Box(self.x + right, self.y + down, self.wide, self.high)


@dataclass(frozen=True, slots=True)
class Placed:
    """A symbol with its text. `step` is the step drawn, `leads_to` the step that a connector points at."""

    symbol: Symbol
    box: Box
    label: Block
    step: str | None = None
    leads_to: str | None = None
    warns: bool = False


@dataclass(frozen=True, slots=True)
class Wire:
    """A line through `points`, with an arrowhead at its end or not."""

    points: tuple[Point, ...]
    arrow: bool = True

    def moved(self, down: float, right: float = 0.0) -> Wire:
        """The same line further down, or to the right."""
        return Wire(tuple((x + right, y + down) for x, y in self.points), self.arrow)


@dataclass(frozen=True, slots=True)
class Tag:
    """Text that stands by itself, flush left in `box`.

    One with `steps` reads `lead` and the sheet of each of them, which is filled in when all is laid out.
    """

    box: Box
    label: Block
    lead: str = ""
    steps: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Band:
    """A part of a sheet that is not cut: what is drawn, how high it is, and the cautions that it needs."""

    height: float
    symbols: tuple[Placed, ...] = ()
    wires: tuple[Wire, ...] = ()
    tags: tuple[Tag, ...] = ()
    cautions: tuple[str, ...] = ()

    def moved(self, down: float) -> Band:
        """The same band further down."""
        return replace(
            self,
            symbols=tuple(replace(symbol, box=symbol.box.moved(down)) for symbol in self.symbols),
            wires=tuple(wire.moved(down) for wire in self.wires),
            tags=tuple(replace(tag, box=tag.box.moved(down)) for tag in self.tags),
        )


@dataclass(frozen=True, slots=True)
class Reading:
    """A chart with what is needed to draw its parts: the steps' numbers, and the steps that lead to each."""

    chart: Chart
    numbers: Mapping[str, int]
    sources: Mapping[str, tuple[str, ...]]


def reading_of(chart: Chart) -> Reading:
    """Number the steps of `chart` and find what leads to each."""
    numbers = numbered(chart)
    sources: dict[str, dict[str, None]] = {id_: {} for id_ in numbers}
    for node in in_order(chart):
        for branch in node.branches:
            if branch.target is not None:
                sources[branch.target][node.id] = None
    return Reading(chart, numbers, {id_: tuple(found) for id_, found in sources.items()})


def clipped(words: Sequence[Words], room: float, most: int = MOST_LINES) -> Block:
    """`words` laid out in `room`, cut after `most` lines with an ellipsis."""
    whole = block(words, room)
    if len(whole.lines) <= most:
        return whole
    last = whole.lines[most - 1]
    kept = last.says
    while kept and text.width(f"{kept}…", last.size, last.bold) > room:
        kept = kept[:-1]
    lines = (*whole.lines[: most - 1], Words(f"{kept.rstrip()}…", last.size, last.bold))
    return Block(lines, min(whole.width, room), sum(line.size * LINE_HEIGHT for line in lines))


def sign_height(symbol: Symbol) -> float:
    """How far the warning sign of a step stands above its symbol: a rhombus has room at its corner."""
    return 0.0 if symbol is Symbol.DECISION else TRIANGLE * 0.88 + 1.5


def step_label(node: Node, number: int, wide: float) -> tuple[Block, float]:
    """The text of a step's symbol of that width, and the least height that holds it."""
    words = [Words(f"{number}. {node.title}", TEXT)]
    if node.minutes:
        words.append(Words(minutes_words(node.minutes), SMALL))
    match SYMBOL_OF[node.kind]:
        case Symbol.DECISION:
            fits = (_in_rhombus(words, wide, share) for share in (0.5, 0.56, 0.62, 0.68))
            return min(fits, key=lambda fit: fit[1])
        case Symbol.MANUAL:
            label = clipped(words, wide - 2 * MANUAL_SLANT - 10)
            return label, label.height + 12
        case Symbol.TERMINATOR:
            label = clipped(words, wide - 26)
            return label, label.height + 12
        case _:
            label = clipped(words, wide - 12)
            return label, label.height + 12


def _in_rhombus(words: Sequence[Words], wide: float, share: float) -> tuple[Block, float]:
    label = clipped(words, wide * share)
    return label, (label.height + 4) / (1 - (label.width + 4) / wide)


def branch_label(node: Node, branches: Sequence[Branch], wide: float, most: int = 9) -> Block | None:
    """What stands at the line of `branches`, which lead to one step; None for nothing."""
    words: list[Words] = []
    for branch in branches:
        words += [Words(line, SMALL) for line in branch_lines(node, branch)]
        words += [Words(branch.stop, SMALL, bold=True)] if branch.stop else []
    return clipped(words, wide, most) if words else None


def source_words(lead: str, steps: Sequence[str], reading: Reading, sheets: Mapping[str, int]) -> str:
    """`from 3 (sheet 2), 9 (sheet 4)`: where a connector is come to from, at most six of them by number."""
    known = [f"{reading.numbers[step]} (sheet {sheets[step]})" for step in steps[:6]]
    more = f" and {len(steps) - 6} more" if len(steps) > 6 else ""
    return f"{lead} {', '.join(known)}{more}"


def source_tag(lead: str, steps: Sequence[str], reading: Reading, at: Point, wide: float) -> Tag:
    """A tag for `source_words`, as large as it will be at most."""
    widest = dict.fromkeys(steps, 88)
    label = block((Words(source_words(lead, steps, reading, widest), SMALL),), wide)
    return Tag(Box(*at, wide, label.height), label, lead, tuple(steps))
