"""From what a person answered to weights on the findings of a check.

A sure choice weighs one finding; an unsure one leaves some weight for the others; a reading is spread over
the bands by its instrument's error, with the normal distribution integrated between the limits.
"""

from __future__ import annotations

from enum import StrEnum
from itertools import pairwise
from math import erf, hypot, sqrt

from kickover.core.ids import FindingId
from kickover.model.library import Check, Reading


class Sureness(StrEnum):
    """How sure an answer is."""

    SURE = "sure"
    FAIRLY = "fairly"
    GUESS = "guess"


KEPT = {Sureness.SURE: 1.0, Sureness.FAIRLY: 0.8, Sureness.GUESS: 0.6}
"""The weight that stays with the finding named; the others share the rest (common practice, no source)."""


def choice_weights(check: Check, finding: FindingId, sureness: Sureness = Sureness.SURE) -> tuple[float, ...]:
    """The weights of a choice: `KEPT` on the finding named, the rest spread evenly over the others."""
    others = len(check.findings) - 1
    kept = KEPT[sureness] if others else 1.0
    rest = (1.0 - kept) / others if others else 0.0
    return tuple(kept if one.id == finding else rest for one in check.findings)


def standard_error(reading: Reading, value: float) -> float:
    """The standard deviation of an instrument's error at `value`, in the reading's unit."""
    return hypot(reading.error_share * value, reading.error_fixed.to(reading.unit).value)


def reading_weights(
    reading: Reading, edges: tuple[float, ...], value: float, repeats: int = 1
) -> tuple[float, ...]:
    """The share of each band, for a reading `value` (the mean of `repeats`), in the reading's unit.

    Repeating halves at most the variance: the instrument's own bias stays (common practice, no source).
    """
    spread = standard_error(reading, value) * sqrt(0.5 + 0.5 / repeats)
    below = [0.0, *(_share_below(edge, value, spread) for edge in edges), 1.0]
    return tuple(high - low for low, high in pairwise(below))


def range_weights(
    reading: Reading, edges: tuple[float, ...], low: float, high: float, steps: int = 64
) -> tuple[float, ...]:
    """The share of each band when a reading is only known to lie from `low` to `high`: the mean over it."""
    points = [low + (high - low) * (step + 0.5) / steps for step in range(steps)]
    spread = [reading_weights(reading, edges, point) for point in points]
    return tuple(sum(column) / steps for column in zip(*spread, strict=True))


def _share_below(edge: float, value: float, spread: float) -> float:
    if spread <= 0.0:
        return 1.0 if value < edge else 0.0
    return 0.5 * (1.0 + erf((edge - value) / (spread * sqrt(2.0))))
