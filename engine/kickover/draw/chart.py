"""Draws a whole chart as one flowchart with the symbols of ISO 5807: a pure function to DOT text."""

from __future__ import annotations

from kickover.draw.chart_model import Branch, Chart, Node
from kickover.draw.chart_order import in_order
from kickover.draw.dot_text import Block, Drawing, Words, block
from kickover.draw.shapes import SYMBOL_OF, Symbol
from kickover.draw.wording import branch_lines, minutes_words

_SMALL = 8.0
_DOT_SHAPES = {
    Symbol.PROCESS: "box",
    Symbol.DECISION: "diamond",
    Symbol.MANUAL: "polygon",
    Symbol.TERMINATOR: "box",
}
_STYLES = {
    Symbol.TERMINATOR: {"style": "rounded"},
    Symbol.MANUAL: {"sides": "4", "distortion": "0.15"},
}
_SLANT = 0.1
"""How much of its width each side of such a four-sided symbol leans in, at most."""
_ROOM = {Symbol.PROCESS: 150.0, Symbol.DECISION: 120.0, Symbol.MANUAL: 140.0, Symbol.TERMINATOR: 120.0}


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
        _add_node(drawing, chart, node, number)
    for node in nodes:
        for index, branch in enumerate(node.branches):
            _add_branch(drawing, node, index, branch)
    return drawing.dot


def _add_node(drawing: Drawing, chart: Chart, node: Node, number: int) -> None:
    symbol = SYMBOL_OF[node.kind]
    names = ", ".join(chart.caution(one).title.lower() for one in node.cautions)
    words = [f"{number}. {node.title}"]
    if node.minutes:
        words.append(minutes_words(node.minutes))
    if names:
        words.append(f"Caution: {names}")
    label = block([Words(one, 9) for one in words], _ROOM[symbol])
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


def _add_branch(drawing: Drawing, node: Node, index: int, branch: Branch) -> None:
    target = branch.target
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
