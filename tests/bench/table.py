"""Rows of the table, timing, and the exponent with which something grows."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from time import perf_counter

import numpy as np


@dataclass(frozen=True, slots=True)
class Row:
    """One measurement: its value in words, the bar in words, and whether it was missed.

    `missed` is None where there is no bar.
    """

    what: str
    value: str
    bar: str = ""
    missed: bool | None = None


def at_most(what: str, value: float, bar: float, unit: str = "") -> Row:
    """A row whose value must not exceed its bar."""
    return Row(what, f"{value:.3g}{unit}", f"at most {bar:g}{unit}", value > bar)


def at_least(what: str, value: float, bar: float, unit: str = "") -> Row:
    """A row whose value must reach its bar."""
    return Row(what, f"{value:.3g}{unit}", f"at least {bar:g}{unit}", value < bar)


def print_rows(rows: Sequence[Row]) -> None:
    """Print the table."""
    wide = max(len(row.what) for row in rows)
    middle = max(len(row.value) for row in rows)
    for row in rows:
        verdict = "" if row.missed is None else ("MISSED" if row.missed else "ok")
        sys.stdout.write(f"{row.what:{wide}}  {row.value:>{middle}}  {row.bar:20}  {verdict}\n")


def seconds(work: Callable[[], object], repeats: int = 5) -> float:
    """The least wall-clock time of some runs: what others on the machine add is left out as far as can be."""
    best = float("inf")
    for _ in range(repeats):
        start = perf_counter()
        work()
        best = min(best, perf_counter() - start)
    return best


def exponent(sizes: Sequence[float], times: Sequence[float]) -> float:
    """The slope of time over size on logarithmic scales: 1 is linear growth."""
    return float(np.polyfit(np.log(sizes), np.log(times), 1)[0])
