"""The frontier as a picture: the chance of getting home against grams, a staircase, in black on white."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from math import ceil, floor, log10

from kickover.documents.text import FONT_FAMILY, clean
from kickover.packing.advice import Pack

WIDE, HIGH = 640, 400
LEFT, RIGHT, TOP, BOTTOM = 64, 24, 44, 56
_TICKS = 6


def frontier_svg(packs: Sequence[Pack], title: str, most: float) -> bytes:
    """The staircase through `packs`, lightest first, up to `most` grams, as an SVG file."""
    low = floor(min((pack.chance for pack in packs), default=0.0) * 10) / 10
    high = min(1.0, ceil(max((pack.chance for pack in packs), default=1.0) * 10) / 10)
    if high <= low:
        low, high = max(0.0, high - 0.1), high or 0.1
    span = max(most, 1.0)

    def x(grams: float) -> float:
        return LEFT + grams / span * (WIDE - LEFT - RIGHT)

    def y(chance: float) -> float:
        return HIGH - BOTTOM - (chance - low) / (high - low) * (HIGH - TOP - BOTTOM)

    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDE}" height="{HIGH}" viewBox="0 0 {WIDE} {HIGH}"'
        f' font-family="{FONT_FAMILY}" font-size="12">',
        f'<rect width="{WIDE}" height="{HIGH}" fill="white"/>',
        f'<text x="{LEFT}" y="24" font-size="14" font-weight="bold">{escape(clean(title))}</text>',
    ]
    step = 0.1 if high - low > 0.25 else 0.05
    for place in range(round((high - low) / step) + 1):
        chance = low + place * step
        parts.append(f'<path d="M{LEFT} {y(chance):.1f}H{WIDE - RIGHT}" stroke="#bbb" fill="none"/>')
        parts.append(f'<text x="{LEFT - 8}" y="{y(chance) + 4:.1f}" text-anchor="end">{chance:.0%}</text>')
    for grams in _round_steps(span):
        parts.append(f'<path d="M{x(grams):.1f} {HIGH - BOTTOM}v5" stroke="black" fill="none"/>')
        parts.append(
            f'<text x="{x(grams):.1f}" y="{HIGH - BOTTOM + 20}" text-anchor="middle">{grams:g}</text>'
        )
    parts.append(
        f'<text x="{(LEFT + WIDE - RIGHT) / 2}" y="{HIGH - 14}" text-anchor="middle">grams carried</text>'
    )
    parts.append(f'<path d="M{LEFT} {TOP}V{HIGH - BOTTOM}H{WIDE - RIGHT}" stroke="black" fill="none"/>')
    stairs = ""
    for pack in packs:
        stairs += (
            f"H{x(pack.grams):.1f}V{y(pack.chance):.1f}"
            if stairs
            else f"M{x(pack.grams):.1f} {y(pack.chance):.1f}"
        )
    if stairs:
        parts.append(f'<path d="{stairs}H{WIDE - RIGHT}" stroke="black" stroke-width="2" fill="none"/>')
    parts += [f'<circle cx="{x(pack.grams):.1f}" cy="{y(pack.chance):.1f}" r="3.5"/>' for pack in packs]
    return "\n".join([*parts, "</svg>", ""]).encode()


def _round_steps(most: float) -> list[float]:
    """Marks at 1, 2 or 5 times a power of ten, six at most besides zero."""
    rough = most / _TICKS
    power = 10.0 ** floor(log10(rough))
    step = next(factor * power for factor in (1, 2, 5, 10) if factor * power >= rough * (1 - 1e-12))
    return [place * step for place in range(int(most / step + 1e-9) + 1)]
