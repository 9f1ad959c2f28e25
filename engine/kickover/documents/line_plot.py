"""One curve on two axes as an SVG picture, black on white, with round marks."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from html import escape
from math import ceil, floor, log10

from kickover.documents.text import FONT_FAMILY, clean

WIDE, HIGH = 640, 400
LEFT, RIGHT, TOP, BOTTOM = 76, 24, 44, 56
_MARKS = 6


@dataclass(frozen=True, slots=True)
class Axis:
    """An axis: what stands below it, the span that it shows, and how its marks are written."""

    title: str
    low: float
    high: float
    written: Callable[[float], str] = "{:g}".format


def line_plot(
    title: str, across: Axis, up: Axis, points: Sequence[tuple[float, float]], stairs: bool = False
) -> bytes:
    """The curve through `points`, from left to right; with `stairs` each holds until the next."""

    def x(value: float) -> float:
        return LEFT + (value - across.low) / (across.high - across.low) * (WIDE - LEFT - RIGHT)

    def y(value: float) -> float:
        return HIGH - BOTTOM - (value - up.low) / (up.high - up.low) * (HIGH - TOP - BOTTOM)

    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDE}" height="{HIGH}" viewBox="0 0 {WIDE} {HIGH}"'
        f' font-family="{FONT_FAMILY}" font-size="12">',
        f"<title>{escape(clean(title))}</title>",
        f'<rect width="{WIDE}" height="{HIGH}" fill="white"/>',
        f'<text x="{LEFT}" y="24" font-size="14" font-weight="bold">{escape(clean(title))}</text>',
        f'<text x="{LEFT}" y="38">{escape(clean(up.title))}</text>',
        f'<text x="{WIDE - RIGHT}" y="{HIGH - 14}" text-anchor="end">{escape(clean(across.title))}</text>',
    ]
    for mark in round_marks(up.low, up.high):
        parts.append(f'<path d="M{LEFT} {y(mark):.1f}H{WIDE - RIGHT}" stroke="#bbb" fill="none"/>')
        parts.append(
            f'<text x="{LEFT - 8}" y="{y(mark) + 4:.1f}" text-anchor="end">{up.written(mark)}</text>'
        )
    for mark in round_marks(across.low, across.high):
        parts.append(f'<path d="M{x(mark):.1f} {HIGH - BOTTOM}v5" stroke="black" fill="none"/>')
        below = f'x="{x(mark):.1f}" y="{HIGH - BOTTOM + 20}" text-anchor="middle"'
        parts.append(f"<text {below}>{across.written(mark)}</text>")
    parts.append(f'<path d="M{LEFT} {TOP}V{HIGH - BOTTOM}H{WIDE - RIGHT}" stroke="black" fill="none"/>')
    if points:
        first, *others = points
        path = f"M{x(first[0]):.1f} {y(first[1]):.1f}"
        for right, above in others:
            path += f"H{x(right):.1f}V{y(above):.1f}" if stairs else f"L{x(right):.1f} {y(above):.1f}"
        path += f"H{WIDE - RIGHT}" if stairs else ""
        parts.append(f'<path d="{path}" stroke="black" stroke-width="2" fill="none"/>')
    parts += [f'<circle cx="{x(right):.1f}" cy="{y(above):.1f}" r="3.5"/>' for right, above in points]
    return "\n".join([*parts, "</svg>", ""]).encode()


def round_marks(low: float, high: float) -> list[float]:
    """Marks at 1, 2 or 5 times a power of ten within the span, about six."""
    rough = (high - low) / _MARKS
    power = 10.0 ** floor(log10(rough))
    step = next(factor * power for factor in (1, 2, 5, 10) if factor * power >= rough * (1 - 1e-12))
    first, last = ceil(low / step - 1e-9), floor(high / step + 1e-9)
    return [round(place * step, 12) for place in range(first, last + 1)]
