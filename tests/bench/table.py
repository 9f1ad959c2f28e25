"""Rows of the table, timing, and the exponent with which something grows."""

from __future__ import annotations

import re
import resource
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
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


def seconds(work: Callable[[], object], repeats: int = 5, clock: Callable[[], float] = perf_counter) -> float:
    """The least time of some runs: what others on the machine add is left out as far as can be.

    With `time.process_time` as the clock only this process counts, which suits work that never waits.
    """
    best = float("inf")
    for _ in range(repeats):
        start = clock()
        work()
        best = min(best, clock() - start)
    return best


def exponent(sizes: Sequence[float], times: Sequence[float]) -> float:
    """The slope of time over size on logarithmic scales: 1 is linear growth."""
    return float(np.polyfit(np.log(sizes), np.log(times), 1)[0])


def peak_megabytes() -> float:
    """The most memory that this process has used so far."""
    status = Path("/proc/self/status")
    if status.is_file():
        # What getrusage tells on Linux begins with the memory of the process that started this one.
        held = re.search(r"VmHWM:\s+(\d+) kB", status.read_text(encoding="utf-8"))
        if held:
            return int(held.group(1)) * 1024 / 1e6
    used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return used / 1e6 if sys.platform == "darwin" else used * 1024 / 1e6
