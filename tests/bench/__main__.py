"""`python -m tests.bench [PART ...]`: measure, and print a table of what came out against what was asked for.

Times are ratios measured in one run, or have the machine's own speed in them and say so. Without parts all
of them run but the long ones.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from bench import (
    charts,
    comfort,
    growing,
    learning,
    leave_one_out,
    memory,
    optimum,
    packing,
    posterior,
    reading,
    reviewing,
    rough,
    shipped,
    start,
    waiting,
)
from bench.surroundings import surroundings
from bench.table import Row, print_rows


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the table: what it measures, about how long that takes on two cores, and what measures it."""

    about: str
    takes: str
    rows: Callable[[], list[Row]]
    long: bool = False


PARTS = {
    "optimum": Part("the planner against the exact optimum of random small problems", "6 min", optimum.rows),
    "shipped": Part(
        "the planner against other ways of choosing steps, shipped library", "5 min", shipped.rows
    ),
    "growing": Part("the next step for 10 to 5,000 hypotheses and up to 500 checks", "40 s", growing.rows),
    "leave-one-out": Part("walks with a cause that was taken from the library", "2 min", leave_one_out.rows),
    "rough": Part("walks in a rougher world than the library's own", "40 min", rough.rows, long=True),
    "said": Part("minutes said at the start against minutes taken", "30 min", rough.said_rows, long=True),
    "posterior": Part("an answer against a general Bayesian-network package", "10 s", posterior.rows),
    "start": Part("the first question, and loading 100 to 20,000 events", "2 min", start.rows),
    "reviewing": Part("the review of 1,000 to 8,000 causes", "30 s", reviewing.rows),
    "charts": Part("charts on paper beside the walk: pages, share mended, minutes", "20 min", charts.rows),
    "waiting": Part("from a key to the next question against the planning alone", "5 s", waiting.rows),
    "comfort": Part("what the easier of nearly equal steps costs, 100 engines", "2 min", comfort.rows),
    "reading": Part("words a step and steps a walk, 200 simulated walks", "1 min", reading.rows),
    "packing": Part("the best pack of every machine", "20 s", packing.rows),
    "learning": Part("learning from 5,000 to 80,000 cases", "1 min", learning.rows),
    "memory": Part("the most memory of each kind of work", "1 min", memory.rows),
    "million": Part("learning from a million cases", "4 min", learning.million_rows, long=True),
}


def main() -> int:
    """Run the parts that are asked for; 1 when a bar is missed."""
    wanted = _wanted()
    sys.stdout.write(f"{surroundings()}\n\n")
    rows: list[Row] = []
    for name in wanted:
        sys.stderr.write(f"measuring {name}, about {PARTS[name].takes}\n")
        begun = perf_counter()
        rows += PARTS[name].rows()
        sys.stderr.write(f"  took {perf_counter() - begun:.0f} s\n")
    print_rows(rows)
    return int(any(row.missed for row in rows))


def _wanted() -> list[str]:
    told = (
        f"  {name:10} {part.about} (about {part.takes}{', with --long or by name' if part.long else ''})"
        for name, part in PARTS.items()
    )
    parser = argparse.ArgumentParser(
        prog="python -m tests.bench",
        description="Measure the program.",
        epilog="parts:\n" + "\n".join(told),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument(
        "parts", nargs="*", metavar="PART", help="what to measure; all that is not long without it"
    )
    parser.add_argument("--long", action="store_true", help="measure the long parts as well")
    given = parser.parse_args()
    unknown = [part for part in given.parts if part not in PARTS]
    if unknown:
        parser.error(f"there is no part {unknown[0]!r}; there are {', '.join(PARTS)}")
    wanted = given.parts or [name for name, part in PARTS.items() if not part.long]
    long = [name for name, part in PARTS.items() if part.long and given.long]
    return list(dict.fromkeys([*wanted, *long]))


if __name__ == "__main__":
    sys.exit(main())
