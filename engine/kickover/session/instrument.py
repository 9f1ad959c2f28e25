"""The rider's own instrument, where it is not as good as the check takes it to be, or better.

A reading may end in `rough` for a poor instrument, in `rough 20%`, or in `within 2%` for a good one. What is
kept is the standard deviation of its error, in the unit of the reading, over which the bands are weighed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import hypot

from kickover.inference.soft_evidence import standard_error
from kickover.model.library import Reading
from kickover.units.printing import show_number

ROUGH = 0.1
"""The error of a poor instrument as a share of what it shows (estimate); at least twice what the check
reckons with."""

ROUGH_WORD = "rough"
"""What people type of a poor instrument."""

_THING = r"(?:gauge|meter|tester|tool|instrument|scale|rule|one)"
_POOR = r"(?:rough|cheap|poor)"
_LEAD = r"(?:(?:with|on|by):?\s+)?(?:(?:an?|my|the)\s+)?"
_ROUGH = rf"{_LEAD}(?:{_POOR}(?:\s+{_THING})?|{_THING}\s+(?:is|was)\s+{_POOR})"
_ENDING = re.compile(
    rf"(?:^|[\s,;:~]+)(?:{_ROUGH}(?:[\s,]+(?:about\s+)?(?P<rough>\d+(?:[.,]\d+)?)\s*(?:%|percent))?"
    r"|within\s+(?P<within>\d+(?:[.,]\d+)?)\s*(?:%|percent))$",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Instrument:
    """What was said of an instrument: its error as a share of what it shows, or None for just rough."""

    share: float | None = None

    def error(self, reading: Reading, value: float) -> float:
        """The standard deviation of its error at `value`, in the unit of the reading."""
        if self.share is None:
            return max(ROUGH * abs(value), 2.0 * standard_error(reading, value))
        return hypot(self.share * value, reading.error_fixed.to(reading.unit).value)


def split_instrument(said: str) -> tuple[str, Instrument | None]:
    """Part a reading from what is said of the instrument, None when nothing is; no error is above 100 %."""
    found = _ENDING.search(said)
    if found is None:
        return said, None
    percent = found["rough"] or found["within"]
    share = None if percent is None else min(float(percent.replace(",", ".")) / 100.0, 1.0)
    return said[: found.start()].strip(), Instrument(share)


def usual_error_in_words(reading: Reading) -> str:
    """How far off the check reckons its instrument to be."""
    parts = []
    if reading.error_share:
        parts.append(f"{show_number(100.0 * reading.error_share, 2)}\u00a0%")
    fixed = reading.error_fixed.to(reading.unit).value
    if fixed:
        parts.append(amount_in_words(reading, fixed))
    return " and ".join(parts)


def amount_in_words(reading: Reading, error: float) -> str:
    """An error in the unit of the reading; a difference, so never converted as a temperature would be."""
    gap = "" if reading.unit == "°" else "\u00a0"
    return f"{show_number(error, 2)}{gap}{reading.unit}".strip()
