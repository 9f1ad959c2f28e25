"""Makes one sheet to fold into eighths for the pouch: the likeliest steps of a chart, and their cautions.

It holds what most engines need and no more; what is rarer is left to the full set, and the card says so
where a way leads off it. A step never stands on it without its cautions, which are on the same side.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

from kickover.core.problem import KickoverError
from kickover.documents.charts.chart import Branch, Chart, Node, NodeKind
from kickover.documents.charts.chart_order import in_order
from kickover.documents.charts.flow_parts import SMALL
from kickover.documents.charts.list_text import few, list_name
from kickover.documents.charts.sheet_pieces import Column, Piece, caution_box, gap, in_columns, paragraph
from kickover.documents.charts.sheet_text import FIRST
from kickover.documents.model_wording import limits_words, minutes_words
from kickover.documents.paper import PdfCanvas, paper_named

_ACROSS, _DOWN = 4, 2
_PAD = 11.0
_SIGN = 9.0
MENDING = 3.0
"""How much more a step that mends is worth on a card than a further question (estimate)."""
LISTED = 3
"""How many rows of a finishing list stand on a card."""
_MENDING = {NodeKind.SETUP, NodeKind.REPAIR, NodeKind.PROOF}


class CardError(KickoverError):
    """A card that cannot be made."""


def pouch_card(chart: Chart, date: str, paper: str = "a4") -> bytes:
    """One sheet as a PDF, the same bytes for the same chart, date and paper.

    Raises PaperError for an unknown paper, CardError where the first cautions alone fill the card.
    """
    canvas = PdfCanvas(paper_named(paper), f"{chart.complaint} – {chart.machine}, pouch card")
    wide, high = canvas.paper.wide / _ACROSS, canvas.paper.high / _DOWN
    panels = _fitted(chart, date, wide - 2 * _PAD, high - 2 * _PAD)
    for index, panel in enumerate(panels):
        left, top = (index % _ACROSS) * wide + _PAD, (index // _ACROSS) * high + _PAD
        for piece, down in panel.pieces:
            piece.draw(canvas, left, top + down)
    _folds(canvas, wide, high)
    canvas.next_page()
    return canvas.pdf()


def _folds(canvas: PdfCanvas, wide: float, high: float) -> None:
    for column in range(1, _ACROSS):
        canvas.line(((column * wide, 0), (column * wide, canvas.paper.high)), 0.3)
    canvas.line(((0, high), (canvas.paper.wide, high)), 0.3)


def _fitted(chart: Chart, date: str, wide: float, high: float) -> Sequence[Column]:
    """The panels with as many of the likeliest steps as there is room for."""
    ranked = likeliest(chart)
    held: Sequence[Column] | None = None
    fewest, most = 1, len(ranked)
    while fewest <= most:
        count = (fewest + most) // 2
        pieces = list(_pieces(chart, date, ranked[:count], wide))
        panels = in_columns(pieces, high)
        if len(panels) <= _ACROSS * _DOWN and all(piece.high <= high for piece in pieces):
            held, fewest = panels, count + 1
        else:
            most = count - 1
    if held is None:
        raise CardError("the cautions of this chart leave no room for a step on a card; print the sheets")
    return held


def likeliest(chart: Chart) -> tuple[str, ...]:
    """Every step that can be reached, the likeliest and those that mend first, none before a way to it."""
    share = {chart.start: 1.0}
    order = in_order(chart)
    for node in _downstream(chart):
        for branch in node.branches:
            if branch.target is not None:
                reached = share.get(branch.target, 0.0)
                share[branch.target] = reached + share[node.id] * branch.probability
    place = {node.id: index for index, node in enumerate(order)}
    worth = {node.id: share[node.id] * (MENDING if node.kind in _MENDING else 1.0) for node in order}
    ways_in: dict[str, set[str]] = {}
    for node in order:
        for branch in node.branches:
            if branch.target is not None:
                ways_in.setdefault(branch.target, set()).add(node.id)
    chosen = [chart.start]
    waiting = [node.id for node in order if node.id != chart.start]
    while waiting:
        reached_ones = [one for one in waiting if ways_in[one] & set(chosen)]
        best = min(reached_ones, key=lambda reached_one: (-worth[reached_one], place[reached_one]))
        chosen.append(best)
        waiting.remove(best)
    return tuple(chosen)


def _downstream(chart: Chart) -> Iterator[Node]:
    """Every step that can be reached, each after all the steps that lead to it."""
    nodes = {node.id: node for node in chart.nodes}
    done: dict[str, None] = {}
    stack: list[tuple[str, bool]] = [(chart.start, False)]
    while stack:
        id_, finished = stack.pop()
        if finished:
            done.setdefault(id_)
        elif id_ not in done:
            stack.append((id_, True))
            targets = (branch.target for branch in nodes[id_].branches)
            stack += [(target, False) for target in targets if target is not None and target not in done]
    return (nodes[id_] for id_ in reversed(done))


def _pieces(chart: Chart, date: str, steps: Sequence[str], wide: float) -> Iterator[Piece]:
    kept = set(steps)
    nodes = [node for node in in_order(chart) if node.id in kept]
    numbers = {
        node.id: chart.list_at(node.id).letter if node.kind is NodeKind.LIST else str(number)
        for number, node in enumerate(nodes, 1)
    }
    yield from paragraph(chart.complaint, wide, size=12, bold=True, holds=True)
    for line in (chart.machine, f"{chart.library} · {date}"):
        yield from paragraph(line, wide, size=SMALL)
    yield gap(3)
    yield caution_box("Before you begin", FIRST, wide)
    for note in chart.notes:
        yield from paragraph(note, wide, size=SMALL)
    yield from paragraph(
        "Begin at 1. “Full set” means: look in the printed set, or use the walk.",
        wide,
        size=SMALL,
    )
    named = {one for node in nodes for one in _cautions(chart, node)}
    for caution in chart.cautions:
        if caution.id in named:
            yield caution_box(caution.title, caution.words, wide)
    for node in nodes:
        yield gap(4)
        pieces = _list(chart, node, wide) if node.kind is NodeKind.LIST else _step(chart, node, numbers, wide)
        *held, last = pieces
        yield from (replace(piece, holds=True) for piece in held)
        yield last


def _cautions(chart: Chart, node: Node) -> tuple[str, ...]:
    if node.kind is not NodeKind.LIST:
        return node.cautions
    listed = chart.list_at(node.id)
    return (*(caution for row in listed.rows[:LISTED] for caution in row.cautions), *listed.proof_cautions)


def _list(chart: Chart, node: Node, wide: float) -> Iterator[Piece]:
    """The first rows of a list, as far as a card has room for them."""
    listed = chart.list_at(node.id)
    yield from paragraph(
        f"{list_name(listed)} ({few(listed.share)})", wide, size=SMALL, bold=True, holds=True
    )
    for number, row in enumerate(listed.rows[:LISTED], 1):
        if row.cautions:
            names = chart.cautions_in_words(row.cautions)
            yield from _warned(f"Caution: {names}", wide)
        look = f" {row.check} ({' or '.join(row.shows)})" if row.check else ""
        says = f"{number}. {row.title}:{look} → {row.repair}"
        yield from paragraph(says, wide, size=SMALL, indent=6)
        for stop in (*row.stops, *((row.ban,) if row.ban else ())):
            yield caution_box("Stop", stop, wide)
    proof = chart.cautions_in_words(listed.proof_cautions)
    if proof:
        yield from _warned(f"Caution at the proof: {proof}", wide)
    yield from paragraph(f"After each: {listed.proof} More rows: full set.", wide, size=SMALL, indent=6)


def _step(chart: Chart, node: Node, numbers: Mapping[str, str], wide: float) -> Iterator[Piece]:
    minutes = f" ({minutes_words(node.minutes)})" if node.minutes else ""
    title = f"{numbers[node.id]}. {node.title}{minutes}"
    yield from paragraph(title, wide, size=SMALL, bold=True, holds=True)
    if node.cautions:
        names = chart.cautions_in_words(node.cautions)
        yield from _warned(f"Caution: {names}", wide)
    if node.tools:
        yield from paragraph(f"Tools: {', '.join(node.tools)}", wide, size=SMALL, holds=True)
    if node.kind is NodeKind.GIVE_UP:
        for line in node.lines[:3]:
            yield from paragraph(line, wide, size=SMALL, indent=6)
    for target, branches in _by_target(node):
        words = "; ".join(one for one in (_way(node, branch) for branch in branches) if one)
        where = _where(target, numbers)
        yield from paragraph(f"{words} → {where}" if words else f"→ {where}", wide, size=SMALL, indent=6)
        for stop in dict.fromkeys(branch.stop for branch in branches if branch.stop):
            yield caution_box("Stop", stop, wide)


def _warned(says: str, wide: float) -> Iterator[Piece]:
    """A line of cautions by name, with the warning triangle before it."""
    for index, line in enumerate(paragraph(says, wide - _SIGN - 3, size=SMALL, holds=True)):
        yield Piece(line.high, _signed(line, signed=index == 0), holds=True)


def _signed(line: Piece, *, signed: bool) -> Callable[[PdfCanvas, float, float], None]:
    def draw(canvas: PdfCanvas, x: float, y: float) -> None:
        if signed:
            canvas.warning(x, y, _SIGN)
        line.draw(canvas, x + _SIGN + 3, y)

    return draw


def _by_target(node: Node) -> Iterator[tuple[str | None, list[Branch]]]:
    together: dict[tuple[str | None, str], list[Branch]] = {}
    for branch in node.branches:
        together.setdefault((branch.target, branch.stop), []).append(branch)
    return ((target, branches) for (target, _), branches in together.items())


def _way(node: Node, branch: Branch) -> str:
    return ", ".join(one for one in (branch.label, limits_words(node, branch)) if one)


def _where(target: str | None, numbers: Mapping[str, str]) -> str:
    if target is None:
        return "solved"
    if target in numbers:
        return numbers[target] if numbers[target].isdigit() else f"list {numbers[target]}"
    return "full set"
