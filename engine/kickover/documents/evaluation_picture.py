"""A picture of an evaluation: the minutes of each way of choosing, and how well it knew how sure to be."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

WIDTH = 760
ROW = 34
LEFT = 190
BARS = 500
SQUARE = 260
INK = "#1d2428"
SOFT = "#6b767d"
FILL = "#8fb3c9"
FIRST = "#2f6f8f"


@dataclass(frozen=True, slots=True)
class ComparisonBar:
    """One way of choosing: mean minutes, the ends of their interval, what 9 in 10 walks stay under."""

    name: str
    mean: float
    low: float
    high: float
    nine_in_ten: float


def comparison(title: str, bars: Sequence[ComparisonBar], reliability: Sequence[tuple[float, float]]) -> str:
    """An SVG with a bar for each way of choosing, the first one set off.

    `reliability` are pairs of "how sure" and "how often right" for the first.
    """
    most = max([1.0, *(max(bar.nine_in_ten, bar.high) for bar in bars)])
    top = 64
    square_top = top + ROW * len(bars) + 90
    height = square_top + SQUARE + 60
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH}" height="{height}" '
        f'viewBox="0 0 {WIDTH} {height}" font-family="sans-serif" font-size="13" fill="{INK}">',
        f"<title>{escape(title)}</title>",
        f'<rect width="{WIDTH}" height="{height}" fill="#ffffff"/>',
        _text(20, 28, title, size=16),
        _text(
            20,
            48,
            "Minutes to a confirmed repair: mean, 95 % interval, and the mark that 9 in 10 stay under",
            tone=SOFT,
        ),
    ]
    for row, bar in enumerate(bars):
        parts += _bar(bar, top + ROW * row, BARS / most, FIRST if row == 0 else FILL)
    parts += _axis(top + ROW * len(bars), most)
    parts += _reliability(reliability, square_top, bars[0].name)
    return "\n".join([*parts, "</svg>", ""])


def _bar(bar: ComparisonBar, y: int, scale: float, fill: str) -> list[str]:
    middle = y + ROW / 2
    end = LEFT + bar.nine_in_ten * scale
    return [
        _text(LEFT - 10, middle + 4, bar.name, anchor="end"),
        f'<rect x="{LEFT}" y="{y + 7}" width="{bar.mean * scale:.1f}" height="{ROW - 14}" fill="{fill}"/>',
        _line(LEFT + bar.low * scale, middle, LEFT + bar.high * scale, middle, INK, 2),
        _line(end, y + 7, end, y + ROW - 7, SOFT, 2),
        _text(LEFT + 6, middle + 4, f"{bar.mean:.0f}", tone="#ffffff" if fill == FIRST else INK),
    ]


def _axis(y: int, most: float) -> list[str]:
    step = next(one for one in (5, 10, 20, 25, 50, 100, 200, 500, 1000, 10**6) if most / one <= 9)
    parts = [_line(LEFT, y + 2, LEFT + BARS, y + 2, SOFT, 1)]
    for tick in range(0, int(most) + 1, step):
        x = LEFT + tick * BARS / most
        parts += [_line(x, y + 2, x, y + 7, SOFT, 1), _text(x, y + 22, str(tick), anchor="middle", tone=SOFT)]
    return [*parts, _text(LEFT + BARS, y + 40, "minutes", anchor="end", tone=SOFT)]


def _reliability(points: Sequence[tuple[float, float]], top: int, name: str) -> list[str]:
    def x(share: float) -> float:
        return LEFT + share * SQUARE

    def y(share: float) -> float:
        return top + SQUARE - share * SQUARE

    parts = [
        _text(LEFT, top - 14, f"Is {name} as sure as it should be? On the line it is."),
        f'<rect x="{LEFT}" y="{top}" width="{SQUARE}" height="{SQUARE}" fill="none" stroke="{SOFT}"/>',
        f'<line x1="{x(0)}" y1="{y(0)}" x2="{x(1)}" y2="{y(1)}" stroke="{SOFT}" stroke-dasharray="4 4"/>',
    ]
    for share in (0.0, 0.5, 1.0):
        parts.append(_text(LEFT - 8, y(share) + 4, f"{share:.0%}", anchor="end", tone=SOFT))
        parts.append(_text(x(share), top + SQUARE + 18, f"{share:.0%}", anchor="middle", tone=SOFT))
    parts += [
        f'<circle cx="{x(sure):.1f}" cy="{y(right):.1f}" r="4" fill="{FIRST}"/>' for sure, right in points
    ]
    parts.append(
        _text(x(0.5), top + SQUARE + 38, "how sure of the leading causes", anchor="middle", tone=SOFT)
    )
    parts.append(_text(x(1.0) + 14, y(0.5), "how often they were right", tone=SOFT))
    return parts


def _text(x: float, y: float, words: str, anchor: str = "start", tone: str = INK, size: int = 13) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="{tone}" font-size="{size}">'
        f"{escape(words)}</text>"
    )


def _line(x1: float, y1: float, x2: float, y2: float, tone: str, width: int) -> str:
    ends = f'x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}"'
    return f'<line {ends} stroke="{tone}" stroke-width="{width}"/>'
