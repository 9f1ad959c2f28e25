"""Draws a whole chart as one flowchart with the symbols of ISO 5807, and its finishing lists as tables below.

A pure function to DOT text. DOT has no symbol of a document with a wavy foot, so a sheet with a folded
corner stands for it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kickover.documents.charts.chart import Branch, Chart, FinishingList, Node, NodeKind
from kickover.documents.charts.chart_order import in_order
from kickover.documents.charts.list_text import HEADINGS, heading_lines, row_cells
from kickover.documents.dot_text import Block, Drawing, Words, block, cell
from kickover.documents.model_wording import branch_lines, minutes_words
from kickover.documents.shapes import SYMBOL_OF, Symbol

_SMALL = 8.0
_DOT_SHAPES = {
    Symbol.PROCESS: "box",
    Symbol.DECISION: "diamond",
    Symbol.MANUAL: "polygon",
    Symbol.TERMINATOR: "box",
    Symbol.DOCUMENT: "note",
}
_STYLES = {
    Symbol.TERMINATOR: {"style": "rounded"},
    Symbol.MANUAL: {"sides": "4", "distortion": "0.15"},
}
_SLANT = 0.1
"""How much of its width each side of such a four-sided symbol leans in, at most."""
_ROOM = {
    Symbol.PROCESS: 150.0,
    Symbol.DECISION: 120.0,
    Symbol.MANUAL: 140.0,
    Symbol.TERMINATOR: 120.0,
    Symbol.DOCUMENT: 90.0,
}
_COLUMNS = (22.0, 170.0, 270.0, 290.0, 58.0)
_SIDE_BY_SIDE = 2
"""How many tables stand beside each other."""


def draw_chart(chart: Chart) -> str:
    """The DOT text of the flowchart: the same bytes for the same chart."""
    title = (
        Words(f"{chart.complaint}", 15, bold=True),
        Words(f"{chart.machine} · {chart.library}", 9),
        *(Words(note, 9) for note in chart.notes),
    )
    drawing = Drawing(title, "TB", nodesep="0.25", ranksep="0.28")
    nodes = in_order(chart)
    for number, node in enumerate(nodes, 1):
        if node.kind is not NodeKind.LIST:
            _add_node(drawing, chart, node, number)
    for node in nodes:
        for index, branch in enumerate(node.branches):
            _add_branch(drawing, chart, node, index, branch)
    _add_lists(drawing, chart, nodes)
    return drawing.dot


def _add_lists(drawing: Drawing, chart: Chart, nodes: Sequence[Node]) -> None:
    """The tables of the lists, under the lowest step, some beside each other."""
    above = _lowest(nodes, chart.start)
    for first in range(0, len(chart.lists), _SIDE_BY_SIDE):
        row = chart.lists[first : first + _SIDE_BY_SIDE]
        names = [f"table {one.letter}" for one in row]
        for name, one in zip(names, row, strict=True):
            drawing.cells(name, *_table(chart, one))
            drawing.edge(above, name, style="invis", minlen="3")
        above = names[0]


def _lowest(nodes: Sequence[Node], start: str) -> str:
    """The step at the end of the longest way."""
    known = {node.id: node for node in nodes if node.kind is not NodeKind.LIST}
    depth = {start: 0}
    waiting = [start]
    for id_ in waiting:
        for branch in known[id_].branches:
            if branch.target in known and depth.get(branch.target, -1) < depth[id_] + 1:
                depth[branch.target] = depth[id_] + 1
                waiting.append(branch.target)
    return max(known, key=lambda one: depth.get(one, 0))


def _table(chart: Chart, listed: FinishingList) -> Iterator[str]:
    whole = block(
        [
            Words(line, 13 if index == 0 else 9, bold=index == 0)
            for index, line in enumerate(heading_lines(chart, listed))
        ],
        sum(_COLUMNS) - 8,
    )
    yield cell(whole, (sum(_COLUMNS), whole.height + 8), colspan=str(len(_COLUMNS)))
    yield _cells([[one] for one in HEADINGS], bold=True)
    for number, row in enumerate(listed.rows, 1):
        yield _cells(row_cells(chart, row, number), bold=False)


def _cells(columns: Sequence[Sequence[str]], *, bold: bool) -> str:
    blocks = [
        block([Words(line, _SMALL, bold) for line in lines], wide - 10)
        for lines, wide in zip(columns, _COLUMNS, strict=True)
    ]
    high = max(one.height for one in blocks) + 8
    return "".join(
        cell(one, (wide, high), border="1", sides="T", valign="top")
        for one, wide in zip(blocks, _COLUMNS, strict=True)
    )


def _add_node(drawing: Drawing, chart: Chart, node: Node, number: int) -> None:
    symbol = SYMBOL_OF[node.kind]
    names = chart.cautions_in_words(node.cautions)
    words = [f"{number}. {node.title}"]
    if node.minutes:
        words.append(minutes_words(node.minutes))
    if names:
        words.append(f"Caution: {names}")
    label = block([Words(word, 9) for word in words], _ROOM[symbol])
    style = _STYLES.get(symbol, {})
    drawing.shape(node.id, _DOT_SHAPES[symbol], label, symbol_size(symbol, label), **style)


def symbol_size(symbol: Symbol, label: Block) -> tuple[float, float]:
    """The least width and height in points in which `symbol` holds `label` with some air around it."""
    wide, high = label.width + 12, label.height + 10
    match symbol:
        case Symbol.DECISION:
            # A box fits a rhombus when its shares of the width and of the height add up to one or less.
            return wide * 1.75, high * (1.75 / 0.75)
        case Symbol.MANUAL:
            return wide / (1 - 2 * _SLANT), high
        case Symbol.TERMINATOR:
            return wide + high / 2, high
        case _:
            return wide, high


def _add_branch(drawing: Drawing, chart: Chart, node: Node, index: int, branch: Branch) -> None:
    target = branch.target
    if target is not None and chart.node(target).kind is NodeKind.LIST:
        label = block((Words(chart.node(target).title, 9),), _ROOM[Symbol.DOCUMENT])
        target = f"{node.id} {target} {index}"
        drawing.shape(target, "note", label, symbol_size(Symbol.DOCUMENT, label))
    if target is None:
        target = f"{node.id} solved {index}"
        label = block((Words("Solved", 9),), 80)
        drawing.shape(target, "box", label, symbol_size(Symbol.TERMINATOR, label), style="rounded")
    lines = branch_lines(node, branch)
    if not lines:
        drawing.edge(node.id, target)
        return
    label = block([Words(line, _SMALL) for line in lines], 96)
    middle = f"{node.id} branch {index}"
    drawing.shape(middle, "plaintext", label, (label.width + 6, label.height + 4))
    drawing.edge(node.id, middle, arrowhead="none")
    drawing.edge(middle, target)
