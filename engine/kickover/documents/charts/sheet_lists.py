"""The finishing lists as tables on sheets of their own, and the work that they name told in full once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from kickover.documents.charts.chart import Chart, FinishingList, ListedCause
from kickover.documents.charts.flow_parts import SMALL, Reading
from kickover.documents.charts.list_text import (
    HEADINGS,
    check_lines,
    facts,
    few,
    list_name,
    need_lines,
    repair_lines,
    time_lines,
)
from kickover.documents.charts.sheet_pieces import Piece, caution_box, gap, paragraph
from kickover.documents.dot_text import Words, block
from kickover.documents.paper import PdfCanvas

_SHARES = (0.03, 0.19, 0.34, 0.35, 0.09)
_SIGN = 13.0
_MOST_SOURCES = 12
_ACROSS, _GAP = 3, 8.0


def list_pieces(
    reading: Reading, listed: FinishingList, sheets: Mapping[str, int], wide: float
) -> Iterator[Piece]:
    """A list: when one comes to it, how to work it, its rows, and what is left at its end."""
    chart = reading.chart
    yield from paragraph(f"{list_name(listed)}. {listed.title}", wide, size=12, bold=True, holds=True)
    yield from paragraph(
        f"You come here from {_sources(reading, listed, sheets)}. {facts(listed)}",
        wide,
        size=SMALL,
        holds=True,
    )
    proof = " ".join((listed.proof, *listed.proof_how))
    yield from paragraph(
        "Work it down in order. A check that you made on the way counts as you found it then. "
        f"After each repair, put everything back and prove it: {proof}",
        wide,
        size=SMALL,
        holds=True,
    )
    if listed.proof_cautions:
        names = chart.cautions_in_words(listed.proof_cautions)
        yield from paragraph(f"Caution at the proof: {names}.", wide, size=SMALL, bold=True, holds=True)
    yield gap(4)
    yield heading_row(wide)
    for number, row in enumerate(listed.rows, 1):
        yield _row(
            [
                (str(number),),
                (row.title, few(row.chance)),
                check_lines(row),
                (*repair_lines(row), *need_lines(chart, row)),
                time_lines(row),
            ],
            wide,
            bold=False,
            signed=bool(row.cautions),
        )
    yield gap(4)
    for line in listed.closing:
        yield from paragraph(line, wide, bold=line is listed.closing[0])
    yield gap(4)
    named = [chart.caution(caution) for caution in listed.cautions]
    room = (wide - _GAP * (_ACROSS - 1)) / _ACROSS
    boxes = [caution_box(one.title, one.words, room) for one in named]
    yield from (_beside(boxes[first : first + _ACROSS], room) for first in range(0, len(boxes), _ACROSS))


def _beside(boxes: Sequence[Piece], room: float) -> Piece:
    """Caution boxes beside each other."""

    def draw(canvas: PdfCanvas, x: float, y: float) -> None:
        for place, box in enumerate(boxes):
            box.draw(canvas, x + place * (room + _GAP), y)

    return Piece(max(box.high for box in boxes), draw)


def work_pieces(chart: Chart, wide: float) -> Iterator[Piece]:
    """How each check and repair of the lists is done, once each, with the lists and rows that name it."""
    yield from paragraph("The work of the lists, told in full", wide, size=11, bold=True, holds=True)
    yield gap(4)
    rows = [
        (f"{listed.letter}{number}", row)
        for listed in chart.lists
        for number, row in enumerate(listed.rows, 1)
    ]
    for kind in ("Check", "Repair"):
        told: dict[tuple[str, tuple[str, ...]], list[tuple[str, ListedCause]]] = {}
        for name, row in rows:
            work = (row.check, row.check_how) if kind == "Check" else (row.repair, row.repair_how)
            if work[1]:
                told.setdefault(work, []).append((name, row))
        for (title, how), named in told.items():
            yield from _work(chart, f"{kind}: {title}", how, named, wide)


def _work(
    chart: Chart, title: str, how: Sequence[str], named: Sequence[tuple[str, ListedCause]], wide: float
) -> Iterator[Piece]:
    yield from paragraph(title, wide, bold=True, holds=True)
    yield from paragraph(f"In {', '.join(name for name, _ in named)}", wide, size=SMALL, holds=True)
    cautions = dict.fromkeys(caution for _, row in named for caution in row.cautions)
    if cautions:
        words = chart.cautions_in_words(cautions)
        yield from paragraph(f"Caution: {words}", wide, size=SMALL, bold=True, holds=True)
    for letter, line in zip("abcdefghijklmnopqrstuvwxyz", how, strict=False):
        yield from paragraph(f"{letter}) {line}", wide, size=SMALL, indent=8)
    yield gap(5)


def heading_row(wide: float) -> Piece:
    """The headings of the columns, which each sheet of a list begins its rows with."""
    return _row([(one,) for one in HEADINGS], wide, bold=True, signed=False)


def _sources(reading: Reading, listed: FinishingList, sheets: Mapping[str, int]) -> str:
    """The steps that lead to a list, with their sheets."""
    steps = sorted(reading.sources[listed.node], key=lambda source: reading.numbers[source])
    named = [
        f"step {reading.numbers[step]} (sheet {sheets[step]})"
        if step in sheets
        else f"step {reading.numbers[step]}"
        for step in steps[:_MOST_SOURCES]
    ]
    return ", ".join(named) + (
        f" and {len(steps) - _MOST_SOURCES} more" if len(steps) > _MOST_SOURCES else ""
    )


def _row(cells: Sequence[Sequence[str]], wide: float, *, bold: bool, signed: bool) -> Piece:
    """One row: a cell's first line in bold where the row names something, the rest as it stands."""
    widths = [share * wide for share in _SHARES]
    labels = [
        block(
            [
                Words(line, SMALL, bold or _is_bold(line, place, index))
                for index, line in enumerate(lines)
                if line
            ]
            or [Words(" ", SMALL)],
            room - 8,
        )
        for place, (lines, room) in enumerate(zip(cells, widths, strict=True))
    ]
    high = max(*(label.height for label in labels), 10 + _SIGN if signed else 0.0) + 6

    def draw(canvas: PdfCanvas, x: float, y: float) -> None:
        canvas.line(((x, y), (x + wide, y)), 0.4)
        left = x
        for label, room in zip(labels, widths, strict=True):
            canvas.block(label, left, y + 2)
            left += room
        if signed:
            canvas.warning(x, y + 14, _SIGN)

    piece = Piece(high, draw)
    return replace(piece, holds=True) if bold else piece


def _is_bold(line: str, place: int, index: int) -> bool:
    return line.startswith("STOP.") or (place in (1, 3) and index == 0)
