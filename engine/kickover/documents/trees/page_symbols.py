"""The symbols of IEC 61025 on a page (gates, kinds of events, transfers), and their legend.

Each takes up a square of `SYMBOL` points and is given by the middle of that square.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from enum import StrEnum

from kickover.documents import text
from kickover.documents.page_layout import LineMark, Mark, ShapeMark, TextMark

SYMBOL = 20.0
NOTE = 8.0
"""Size of what stands beside an event, in points."""
_CORNERS = 28


class Symbol(StrEnum):
    """What kind of event it is, by its symbol; the value is what the legend says of it."""

    GATE = "gate. ≥1: any input is enough, &: all of them together, 2/3: two of the three"
    BASIC = "basic event: a cause, with its rate beside that of an occasional one"
    UNDEVELOPED = "undeveloped event: something that is not listed here"
    HOUSE = "house event: the situation, known to be true or false"
    LINK = "inhibit gate: the fault passes on in so many cases"
    TRANSFER = "transfer: goes on at the page of this number, or comes from there"


def symbol_marks(symbol: Symbol, x: float, y: float, says: str = "") -> Iterator[Mark]:
    """The symbol with its middle at (x, y); a gate bears its mark `says`."""
    half = SYMBOL / 2
    match symbol:
        case Symbol.GATE:
            yield _outline(
                (-half, -half + 2), (half, -half + 2), (half, half - 2), (-half, half - 2), x=x, y=y
            )
            wide = text.width(says, 9.0, bold=True) / 1.06
            yield TextMark(x - wide / 2, y - 5.2, says, 9.0, bold=True)
        case Symbol.BASIC:
            turns = [2 * math.pi * number / _CORNERS for number in range(_CORNERS)]
            yield _outline(*((7 * math.cos(one), 7 * math.sin(one)) for one in turns), x=x, y=y)
        case Symbol.UNDEVELOPED:
            yield _outline((-9, 0), (0, -8), (9, 0), (0, 8), x=x, y=y)
        case Symbol.HOUSE:
            yield _outline((-7, 7), (-7, -2), (0, -8), (7, -2), (7, 7), x=x, y=y)
        case Symbol.LINK:
            yield _outline((-6, 0), (-3, -5), (3, -5), (6, 0), (3, 5), (-3, 5), x=x, y=y)
        case Symbol.TRANSFER:
            yield _outline((-8, 7), (0, -8), (8, 7), x=x, y=y)


def _outline(*corners: tuple[float, float], x: float, y: float) -> ShapeMark:
    return ShapeMark(tuple((x + across, y + down) for across, down in corners))


def legend_marks(wide: float) -> tuple[tuple[Mark, ...], float]:
    """What the symbols mean, in three columns under a line; and how high that is."""
    column = wide / 3
    marks: list[Mark] = [LineMark(((0.0, 0.0), (wide, 0.0)), 0.6)]
    down = 6.0
    symbols = list(Symbol)
    for first in range(0, len(symbols), 3):
        row = [text.wrap(one.value, column - SYMBOL - 14, NOTE) for one in symbols[first : first + 3]]
        for number, (symbol, lines) in enumerate(zip(symbols[first : first + 3], row, strict=True)):
            left = number * column
            marks += symbol_marks(symbol, left + SYMBOL / 2, down + SYMBOL / 2, "≥1")
            for place, line in enumerate(lines):
                marks.append(TextMark(left + SYMBOL + 5, down + place * NOTE * 1.25, line, NOTE))
        down += max(SYMBOL + 2, max(len(lines) for lines in row) * NOTE * 1.25 + 3)
    return tuple(marks), down
