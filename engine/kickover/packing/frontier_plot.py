"""The frontier as a picture: the chance of getting home against grams, a staircase."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor

from kickover.documents.line_plot import Axis, line_plot
from kickover.packing.advice import Pack


def frontier_svg(packs: Sequence[Pack], title: str, most: float) -> bytes:
    """The staircase through `packs`, lightest first, up to `most` grams, as an SVG file."""
    low = floor(min((pack.chance for pack in packs), default=0.0) * 10) / 10
    high = min(1.0, ceil(max((pack.chance for pack in packs), default=1.0) * 10) / 10)
    if high <= low:
        low, high = max(0.0, high - 0.1), high or 0.1
    return line_plot(
        title,
        Axis("grams carried", 0.0, max(most, 1.0)),
        Axis("chance of getting home", low, high, "{:.0%}".format),
        [(pack.grams, pack.chance) for pack in packs],
        stairs=True,
    )
