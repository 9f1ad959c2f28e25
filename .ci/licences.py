"""List the packages that the program needs, with their licences, and compare them with DEVELOPERS.md.

Direct dependencies stand in its table with the licence that their own metadata tells, those that come with
them in the line below it. Ends with 1, and says what to write, where the two differ.
"""

from __future__ import annotations

import re
import sys
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path

DEVELOPERS = Path(__file__).parents[1] / "DEVELOPERS.md"
LONGEST = 60
"""A longer text in the field of the licence is the licence itself, not its name."""


def canonical(name: str) -> str:
    """A name as the package index compares it."""
    return re.sub(r"[-_.]+", "-", name).lower()


def needed_by(name: str) -> list[str]:
    """The packages that a package needs here without any extra."""
    from packaging.requirements import Requirement

    wanted = [Requirement(line) for line in distribution(name).requires or ()]
    return [canonical(one.name) for one in wanted if one.marker is None or one.marker.evaluate({"extra": ""})]


def licence_of(name: str) -> str:
    """The licence of an installed package by its own metadata."""
    told = distribution(name).metadata
    expressions = told.get_all("License-Expression") or []
    named = expressions + [text for text in told.get_all("License") or [] if len(text) <= LONGEST]
    classifiers = [one for one in told.get_all("Classifier") or [] if one.startswith("License ::")]
    return next(filter(None, named), "") or ", ".join(one.rpartition(" :: ")[2] for one in classifiers)


def brought_by(names: list[str]) -> list[str]:
    """What comes with packages, by name."""
    found: set[str] = set()
    waiting = list(names)
    while waiting:
        new = [one for one in needed_by(waiting.pop()) if one not in found]
        found.update(new)
        waiting += new
    return sorted(found - set(names))


def told_in(text: str) -> tuple[dict[str, str], dict[str, str]]:
    """By package the licences that DEVELOPERS.md tells: of its table, and of the line below it."""
    part = text.split("### What it is built on", 1)[1].split("\n### ", 1)[0]
    table, _, below = part.partition("With them come")
    rows = re.findall(r"^\| ([\w.-]+) \| ([^|]+) \|", table, re.MULTILINE)
    direct = {canonical(name): licence.strip() for name, licence in rows if name != "package"}
    return direct, {canonical(name): licence for name, licence in re.findall(r"([\w-]+) \(([^)]+)\)", below)}


def main() -> int:
    """Print the list; tell what differs."""
    try:
        direct = needed_by("kickover")
        here = {name: licence_of(name) for name in (*direct, *brought_by(direct))}
    except PackageNotFoundError as error:
        print(f"{error.name} is not installed here; install the program first")
        return 1
    table, below = told_in(DEVELOPERS.read_text(encoding="utf-8"))
    told = table | below
    for name, licence in sorted(here.items()):
        print(f"{name:<28}{distribution(name).version:<16}{licence}")
    where = "DEVELOPERS.md, What it is built on"
    wrong = [
        f"{where}: {name} is {licence!r} here and {told.get(name, 'not there')!r} there"
        for name, licence in sorted(here.items())
        if told.get(name) != licence
    ]
    wrong += [f"{where}: {name} is no longer needed" for name in sorted(set(table) - set(direct))]
    print(*wrong, sep="\n", end="\n" if wrong else "")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
