"""What the text pages of a set of sheets say: contents, legend, steps, tools, limits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from kickover.documents.charts.chart import Chart, Node, NodeKind
from kickover.documents.charts.chart_order import in_order
from kickover.documents.charts.flow_layout import Flow, FlowSheet
from kickover.documents.charts.flow_parts import SMALL, TEXT, Box, Reading, clipped
from kickover.documents.charts.list_text import few, list_name
from kickover.documents.charts.sheet_pieces import Piece, caution_box, gap, paragraph, sketch, table_row
from kickover.documents.dot_text import Words, block
from kickover.documents.model_wording import chance_words, limits_words, minutes_words
from kickover.documents.paper import PdfCanvas
from kickover.documents.shapes import Symbol, outline

FIRST = (
    "Local codes and licensed practice come first. Where work on gas, mains, brakes, steering or frame is "
    "kept for licensed people, leave it to them."
)
_LEGEND = {
    Symbol.TERMINATOR: "Start, solved, or where to give up",
    Symbol.DECISION: "A check, or the proof of a repair: look, then take the way with your answer",
    Symbol.PROCESS: "A repair",
    Symbol.MANUAL: "Something to take off or put on first",
    Symbol.CONNECTOR: "Goes on at the step of that number, on the sheet named beside it",
    Symbol.DOCUMENT: "A sheet of this set: a list that is worked down in order",
}


def step_place(id_: str) -> str:
    """The name of the place where a step is told in full."""
    return f"step:{id_}"


def sheet_place(number: int) -> str:
    """The name of the place of a sheet."""
    return f"sheet:{number}"


def front_pieces(chart: Chart, date: str, wide: float) -> Iterator[Piece]:
    """What the set is about, how to use it, and what the symbols mean."""
    yield from paragraph(chart.complaint, wide, size=17, bold=True)
    yield gap(4)
    facts = (("Machine", chart.machine), ("Library", chart.library), ("Printed", date))
    for name, value in facts:
        yield from paragraph(f"{name}: {value}", wide)
    yield gap(6)
    yield caution_box("Before you begin", FIRST, wide)
    for note in chart.notes:
        yield from paragraph(note, wide, size=SMALL)
    yield gap(6)
    yield from paragraph("How to use it", wide, bold=True, size=11, holds=True)
    yield from paragraph(
        "Begin at step 1 and follow the arrows. Each step has a number; what to do in it, with its tools and "
        "cautions, is told under that number after the flow sheets. A figure such as “3 in 10” says in how "
        "many cases that way is taken.",
        wide,
    )
    yield gap(6)
    yield from paragraph("Symbols", wide, bold=True, size=11, holds=True)
    for symbol, meaning in _LEGEND.items():
        yield _legend_row(symbol, meaning, wide)
    yield _sign_row("This step has hazards: its cautions stand at the foot of the sheet", wide)


def _legend_row(symbol: Symbol, meaning: str, wide: float) -> Piece:
    lines = paragraph(meaning, wide - 60)
    high = max(26.0, sum(line.high for line in lines) + 6)
    box_wide, box_high = (16.0, 16.0) if symbol is Symbol.CONNECTOR else (40.0, 18.0)

    def draw(canvas: PdfCanvas, x: float, y: float) -> None:
        canvas.outline(
            outline(symbol, box_wide, box_high), x + (44 - box_wide) / 2, y + (high - box_high) / 2
        )
        _stack(canvas, lines, x + 56, y + (high - sum(line.high for line in lines)) / 2)

    return Piece(high, draw)


def _sign_row(meaning: str, wide: float) -> Piece:
    lines = paragraph(meaning, wide - 60)

    def draw(canvas: PdfCanvas, x: float, y: float) -> None:
        canvas.warning(x + 12, y + 4, 20)
        _stack(canvas, lines, x + 56, y + (26 - sum(line.high for line in lines)) / 2)

    return Piece(26, draw)


def _stack(canvas: PdfCanvas, pieces: Sequence[Piece], x: float, y: float) -> None:
    for piece in pieces:
        piece.draw(canvas, x, y)
        y += piece.high


def contents_pieces(flow: Flow, first: int, others: Sequence[int], wide: float) -> Iterator[Piece]:
    """The list of sheets, each linked: the flow from `first` on, then `others`: steps, lists, work, tools."""
    yield from paragraph("Sheets", wide, bold=True, size=11, holds=True)
    yield gap(3)
    for number, sheet in enumerate(flow.sheets, first):
        yield _sheet_row(number, _sheet_line(flow.reading, sheet), wide)
    yield _sheet_row(others[0], "The steps, told in full", wide)
    for number, listed in zip(others[1:], flow.reading.chart.lists, strict=False):
        yield _sheet_row(number, f"{list_name(listed)} ({few(listed.share)}): {listed.title}", wide)
    if flow.reading.chart.lists:
        yield _sheet_row(others[-2], "The work of the lists, told in full", wide)
    yield _sheet_row(others[-1], "Tools, limits and cautions", wide)


def _sheet_row(number: int, says: str, wide: float) -> Piece:
    """One line of the contents: a small document with the sheet's number, and what the sheet holds."""
    label = clipped((Words(says, TEXT),), wide - 40, 3)
    high = max(label.height, 17.0) + 4

    def draw(canvas: PdfCanvas, x: float, y: float) -> None:
        top = y + (high - 17) / 2
        canvas.outline(outline(Symbol.DOCUMENT, 28, 17), x, top, line=0.6)
        canvas.centred(block((Words(str(number), SMALL),), 28), Box(x, top, 28, 14))
        canvas.block(label, x + 36, y + (high - label.height) / 2)
        canvas.link(sheet_place(number), Box(x, y, wide, high))

    return Piece(high, draw)


def _sheet_line(reading: Reading, sheet: FlowSheet) -> str:
    steps = sorted(reading.numbers[step] for step in sheet.steps)
    span = f"step {steps[0]}" if len(steps) == 1 else f"steps {steps[0]} to {steps[-1]}"
    return f"Flow, {span}: {reading.chart.node(sheet.steps[0]).title}"


def steps_pieces(
    chart: Chart, numbers: Mapping[str, int], sheets: Mapping[str, int], wide: float
) -> Iterator[Piece]:
    """Every step in full, by its number."""
    for node in in_order(chart):
        if node.kind is NodeKind.LIST:
            continue
        yield from _step_pieces(chart, node, numbers, sheets, wide)
        yield gap(9)


def _step_pieces(
    chart: Chart, node: Node, numbers: Mapping[str, int], sheets: Mapping[str, int], wide: float
) -> Iterator[Piece]:
    title = f"{numbers[node.id]}. {node.title}"
    sheet = sheets.get(node.id)
    yield from paragraph(
        title,
        wide,
        size=10,
        bold=True,
        at=step_place(node.id),
        to=sheet_place(sheet) if sheet else None,
        holds=True,
    )
    facts = [node.kind.replace("-", " ")]
    if node.minutes:
        facts.append(minutes_words(node.minutes))
    if sheet:
        facts.append(f"drawn on sheet {sheet}")
    if node.note:
        facts.append(node.note)
    yield from paragraph(" · ".join(facts), wide, size=SMALL, holds=True)
    if node.tools:
        yield from paragraph(f"Tools: {', '.join(node.tools)}", wide, size=SMALL, holds=True)
    for id_ in node.cautions:
        caution = chart.caution(id_)
        yield caution_box(caution.title, caution.words, wide, holds=True)
    for letter, line in zip("abcdefghijklmnopqrstuvwxyz", node.lines, strict=False):
        yield from paragraph(f"{letter}) {line}", wide, indent=8)
    if node.sketch:
        yield from sketch(node.sketch, 14)
    for branch in node.branches:
        words = ", ".join(one for one in (branch.label, limits_words(node, branch)) if one)
        if len(node.branches) > 1:
            words += f" ({chance_words(branch.probability)})"
        says = f"→ {f'{words}: ' if words else ''}{_where(branch.target, chart, numbers)}"
        yield from paragraph(says, wide, indent=8, to=step_place(branch.target) if branch.target else None)
        if branch.stop:
            yield caution_box("Stop", branch.stop, wide)


def _where(target: str | None, chart: Chart, numbers: Mapping[str, int]) -> str:
    if target is None:
        return "solved"
    if chart.node(target).kind is NodeKind.LIST:
        return f"see list {chart.list_at(target).letter}"
    if chart.node(target).kind is NodeKind.GIVE_UP:
        return f"give up ({numbers[target]})"
    return f"go on at {numbers[target]}"


def tools_pieces(chart: Chart, numbers: Mapping[str, int], wide: float) -> Iterator[Piece]:
    """What to have at hand, and for which steps."""
    yield from paragraph("Tools and spares", wide, bold=True, size=11, holds=True)
    used: dict[str, list[str]] = {}
    for node in in_order(chart):
        for tool in node.tools:
            used.setdefault(tool, []).append(str(numbers[node.id]))
    for listed in chart.lists:
        for tool in dict.fromkeys(tool for row in listed.rows for tool in row.tools):
            used.setdefault(tool, []).append(f"list {listed.letter}")
    if not used:
        yield from paragraph("None: bare hands are enough.", wide)
        return
    widths = (wide * 0.6, wide * 0.4)
    yield table_row(("Tool", "Steps and lists"), widths, bold=True)
    for tool in sorted(used, key=str.casefold):
        yield table_row((tool, ", ".join(used[tool])), widths)


def limits_pieces(chart: Chart, wide: float) -> Iterator[Piece]:
    """The table of limits, worked out for this machine."""
    yield gap(12)
    yield from paragraph("Limits for this machine", wide, bold=True, size=11, holds=True)
    if not chart.limits:
        yield from paragraph("Nothing is measured in this chart.", wide)
        return
    widths = (wide * 0.4, wide * 0.27, wide * 0.33)
    yield table_row(("What is measured", "Limit", "Source"), widths, bold=True)
    for row in chart.limits:
        yield table_row((row.title, row.limit, row.source), widths)


def cautions_pieces(chart: Chart, wide: float) -> Iterator[Piece]:
    """Every caution of the set."""
    yield gap(12)
    yield from paragraph("Cautions", wide, bold=True, size=11, holds=True)
    for caution in chart.cautions:
        yield caution_box(caution.title, caution.words, wide)
