"""A program that adds cases to a file, one transaction each, and says so after each: for tests that kill it.

Usage: writer.py FILE NAME NUMBER
"""

from __future__ import annotations

import sys
from pathlib import Path

from kickover.learning.case import Case
from kickover.learning.store import opened


def main(path: Path, name: str, number: int) -> None:
    with opened(path) as store:
        for place in range(number):
            case = Case(f"{name}-{place}", "2026-03-01", "moped", ("a",), (), (("b",),))
            store.add([case])
            sys.stdout.write(f"{place}\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2], int(sys.argv[3]))
