"""`python -m tests.bench [PART ...]`: measure, and print a table of what came out against what was asked for.

Times are ratios measured in one run, or have the machine's own speed in them and say so. Without parts all
of them run, which takes some minutes on two cores.
"""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from bench import growing, optimum, posterior, shipped, start, writing
from bench.table import Row, print_rows

PARTS = {
    "optimum": optimum.rows,
    "shipped": shipped.rows,
    "growing": growing.rows,
    "posterior": posterior.rows,
    "start": start.rows,
    "writing": writing.rows,
}


def main() -> int:
    """Run the parts that are asked for; 1 when a bar is missed."""
    parser = argparse.ArgumentParser(description="Measure the program.")
    parser.add_argument("parts", nargs="*", metavar="PART", help=f"one or more of {', '.join(PARTS)}")
    wanted = parser.parse_args().parts or list(PARTS)
    unknown = [part for part in wanted if part not in PARTS]
    if unknown:
        parser.error(f"there is no part {unknown[0]!r}; there are {', '.join(PARTS)}")
    rows: list[Row] = []
    for part in wanted:
        sys.stderr.write(f"measuring {part}\n")
        rows += PARTS[part]()
    print_rows(rows)
    return int(any(row.missed for row in rows))


if __name__ == "__main__":
    sys.exit(main())
