"""Lays out one step of a run with its ways out: short steps beside it, and what they lead to.

Four columns: the run, two steps beside it, and the ways out. Pure geometry, in points.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from kickover.documents.charts.chart import Branch, Node, NodeKind
from kickover.documents.charts.chart_order import Side, Stage
from kickover.documents.charts.flow_parts import (
    SMALL,
    Band,
    Box,
    Placed,
    Reading,
    Tag,
    Wire,
    branch_label,
    clipped,
    sign_height,
    source_tag,
    step_label,
)
from kickover.documents.dot_text import Block, Words, block
from kickover.documents.shapes import MANUAL_SLANT, SYMBOL_OF, Point, Symbol

RUN_WIDE, BESIDE_WIDE, PROOF_WIDE, EXIT_WIDE = 172.0, 124.0, 146.0, 86.0
FIRST_GAP, SECOND_GAP, EXIT_GAP = 100.0, 18.0, 62.0
BESIDE_X = RUN_WIDE + FIRST_GAP
PROOF_X = BESIDE_X + BESIDE_WIDE + SECOND_GAP
EXIT_X = PROOF_X + PROOF_WIDE + EXIT_GAP
WIDTH = EXIT_X + EXIT_WIDE
"""The width that the columns take up, in points."""

CONNECTOR = 22.0
LEAD_IN = 11.0
"""The piece of line with an arrowhead above each step of a run."""
_ROW_GAP = 7.0
_BUS = 8.0


@dataclass(frozen=True, slots=True)
class _Row:
    """One way out, laid out about the line on which it leaves: how far it reaches above and below."""

    above: float
    below: float
    band: Band


def bands_of(stage: Stage, reading: Reading, most: float) -> tuple[Band, ...]:
    """The step of `stage` with its ways out, repeated in more bands when one would be higher than `most`."""
    rows = [_side_row(stage.node, side, reading) for side in stage.sides]
    bands: list[Band] = []
    group: list[_Row] = []
    for row in rows:
        if group and _with_more(_band(stage.node, [*group, row], reading, True)).height > most:
            bands.append(_with_more(_band(stage.node, group, reading, False)))
            group = []
        group.append(row)
    bands.append(_band(stage.node, group, reading, bool(stage.onward)))
    return tuple(bands)


def _with_more(band: Band) -> Band:
    """The band with a line under it that says that its step has more answers."""
    label = block((Words("More answers to this step follow on the next sheet.", SMALL),), WIDTH)
    tag = Tag(Box(0, band.height + 5, label.width, label.height), label)
    return replace(band, height=band.height + 5 + label.height, tags=(*band.tags, tag))


def _band(node: Node, rows: Sequence[_Row], reading: Reading, goes_on: bool) -> Band:
    symbol, above = _step(node, reading, 0.0, RUN_WIDE)
    first = max(above, rows[0].above if rows else 0.0) + LEAD_IN
    symbol = replace(symbol, box=symbol.box.moved(first))
    wires = [Wire(((RUN_WIDE / 2, 0), (RUN_WIDE / 2, symbol.box.y)))]
    start = (_right_tip(symbol), first)
    parts: list[Band] = []
    line, foot = first, first
    for index, row in enumerate(rows):
        line = first if index == 0 else foot + _ROW_GAP + row.above
        wires.append(_elbow(start, (BESIDE_X, line), RUN_WIDE + _BUS))
        parts.append(row.band.moved(line))
        foot = line + row.below
    below = symbol.box.y + symbol.box.high
    if goes_on and foot > below:
        wires.append(Wire(((RUN_WIDE / 2, below), (RUN_WIDE / 2, foot)), arrow=False))
    return Band(
        max(foot, below),
        (symbol, *(one for part in parts for one in part.symbols)),
        (*wires, *(wire for part in parts for wire in part.wires)),
        tuple(tag for part in parts for tag in part.tags),
        tuple(dict.fromkeys((*node.cautions, *(caution for part in parts for caution in part.cautions)))),
    )


def _step(node: Node, reading: Reading, x: float, wide: float) -> tuple[Placed, float]:
    """The symbol of a step, centred on the line at 0, and how far it reaches above it, with its sign."""
    label, high = step_label(node, reading.numbers[node.id], wide)
    placed = Placed(
        SYMBOL_OF[node.kind], Box(x, -high / 2, wide, high), label, step=node.id, warns=bool(node.cautions)
    )
    sign = sign_height(placed.symbol) if placed.warns else 0.0
    return placed, high / 2 + sign


def _right_tip(placed: Placed) -> float:
    lean = MANUAL_SLANT / 2 if placed.symbol is Symbol.MANUAL else 0.0
    return placed.box.x + placed.box.wide - lean


def _left_tip(placed: Placed) -> float:
    return placed.box.x + (MANUAL_SLANT / 2 if placed.symbol is Symbol.MANUAL else 0.0)


def _elbow(start: Point, end: Point, bend_x: float) -> Wire:
    if start[1] == end[1]:
        return Wire((start, end))
    return Wire((start, (bend_x, start[1]), (bend_x, end[1]), end))


def _side_row(node: Node, side: Side, reading: Reading) -> _Row:
    """One way out: its label in the gap, the steps beside the run, and where they lead."""
    label = branch_label(node, side.branches, FIRST_GAP - 26)
    tags = [_on_line(label, RUN_WIDE + 14)] if label else []
    above = label.height + 2 if label else 0.0
    below = 0.0
    symbols: list[Placed] = []
    wires: list[Wire] = []
    for step, x, wide in _columns(side):
        placed, reaches = _step(step, reading, x, wide)
        half = placed.box.high / 2
        start = _right_tip(symbols[-1]) if symbols else BESIDE_X
        if start < _left_tip(placed):
            wires.append(Wire(((start, 0), (_left_tip(placed), 0))))
        symbols.append(placed)
        above, below = max(above, reaches), max(below, half)
        more = [
            source for source in reading.sources[step.id] if source not in _drawn_before(node, side, step)
        ]
        if more:
            tags.append(source_tag("also from", more, reading, (x, half + 1), wide))
            below = max(below, half + 2 + tags[-1].box.high)
    ends = _exits(side, symbols, reading)
    return _Row(
        max(above, ends.above),
        max(below, ends.below),
        Band(
            0.0,
            (*symbols, *ends.band.symbols),
            (*wires, *ends.band.wires),
            (*tags, *ends.band.tags),
            tuple(caution for step in side.steps for caution in step.cautions),
        ),
    )


def _on_line(label: Block, x: float) -> Tag:
    return Tag(Box(x, -label.height - 1, label.width, label.height), label)


def _columns(side: Side) -> list[tuple[Node, float, float]]:
    """Where the steps beside a run stand: one with several ways out needs the room at its right."""
    beside, proof = (BESIDE_X, BESIDE_WIDE), (PROOF_X, PROOF_WIDE)
    if len(side.steps) == 1:
        only = side.steps[0]
        return [(only, *(beside if len(only.branches) == 1 and only.kind is not NodeKind.PROOF else proof))]
    return [(step, *place) for step, place in zip(side.steps, (beside, proof), strict=False)]


def _drawn_before(node: Node, side: Side, step: Node) -> set[str]:
    steps = [node, *side.steps]
    return {steps[steps.index(step) - 1].id}


def _exits(side: Side, symbols: Sequence[Placed], reading: Reading) -> _Row:
    """Where a way out leads in the end: under each other, the first on the line."""
    if symbols:
        tip = _right_tip(symbols[-1])
        x = PROOF_X if tip < PROOF_X else EXIT_X
    else:
        tip, x = BESIDE_X, BESIDE_X
    last = side.steps[-1] if side.steps else None
    rows = [_exit(last, exit_, reading, tip, x) for exit_ in side.exits]
    line, foot = 0.0, rows[0].below
    parts = [rows[0].band]
    wires = [Wire(((tip, 0), (x, 0)))] if x > tip else []
    for row in rows[1:]:
        line = foot + _ROW_GAP / 2 + row.above
        wires.append(_elbow((tip, 0), (x, line), tip + _BUS))
        parts.append(row.band.moved(line))
        foot = line + row.below
    return _Row(
        rows[0].above,
        foot,
        Band(
            0.0,
            tuple(symbol for part in parts for symbol in part.symbols),
            tuple(wires),
            tuple(tag for part in parts for tag in part.tags),
        ),
    )


def _exit(last: Node | None, branch: Branch, reading: Reading, tip: float, x: float) -> _Row:
    label = branch_label(last, (branch,), x - tip - 16, 5) if last and x > tip + 40 else None
    tags = [_on_line(label, tip + 12)] if label else []
    placed = exit_symbol(branch, reading, x)
    if branch.target is not None and placed.symbol is Symbol.CONNECTOR:
        label_box = Box(x + CONNECTOR + 4, -5, EXIT_WIDE - CONNECTOR - 4, 10)
        tags.append(Tag(label_box, block((Words("", SMALL),), 50), "sheet", (branch.target,)))
    half = below = placed.box.high / 2
    if branch.target is not None and placed.symbol is Symbol.DOCUMENT:
        tags.append(
            Tag(Box(x, half, EXIT_WIDE, 10), block((Words("", SMALL),), 50), "sheet", (branch.target,))
        )
        below += 10
    return _Row(max(half, label.height + 2 if label else 0.0), below, Band(0.0, (placed,), (), tuple(tags)))


def exit_symbol(branch: Branch, reading: Reading, x: float) -> Placed:
    """The end of a way out, on the line at 0: solved, given up, a list, or a connector to a step."""
    if branch.target is None:
        return Placed(Symbol.TERMINATOR, Box(x, -9, 52, 18), block((Words("Solved", SMALL),), 50))
    node = reading.chart.node(branch.target)
    number = reading.numbers[node.id]
    if node.kind is NodeKind.GIVE_UP:
        label = clipped((Words(f"{number}. {node.title}", SMALL),), EXIT_WIDE - 20, 4)
        high = label.height + 8
        return Placed(Symbol.TERMINATOR, Box(x, -high / 2, EXIT_WIDE, high), label, leads_to=node.id)
    if node.kind is NodeKind.LIST:
        label = block((Words(node.title, SMALL),), EXIT_WIDE - 8)
        high = label.height + 14
        return Placed(Symbol.DOCUMENT, Box(x, -high / 2, EXIT_WIDE, high), label, leads_to=node.id)
    label = block((Words(str(number), SMALL, bold=True),), CONNECTOR)
    return Placed(Symbol.CONNECTOR, Box(x, -CONNECTOR / 2, CONNECTOR, CONNECTOR), label, leads_to=node.id)
