"""What an overlay may change: rates of causes, and how often checks err. Nothing else can be laid over.

Cautions, riding bans, texts and the tree itself stay as the library has them, whatever a file of learned
rates says; who wants those otherwise writes a library.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from kickover.authoring.located import Items, Step, Table
from kickover.authoring.sections import Entry
from kickover.core.screening import screened
from kickover.model.entities import RateChanges

RATE_KEYS: Mapping[str, frozenset[str]] = {
    "causes": frozenset({"rate", "source"}),
    "checks": frozenset({"miss", "false_alarm", "expect", "source"}),
}
"""The keys that an overlay may write, by section; of `expect:` only the chances may differ."""

HINT = "an overlay changes rates and error rates only; for anything else name a library with `--library`"

Entries = dict[tuple[str, str], Entry]


def laid_over(own: Entries, below: Entries, above: Entries, path: Path) -> tuple[Entries, RateChanges]:
    """Lay the entries of the overlay at `path` over those `below`; give all entries, and how many changed.

    `own` are the entries of the library itself; `below` may hold what an earlier overlay laid over them.
    Whatever is no rate is reported on the overlay's own entry, and is not taken over.
    """
    laid = dict(below)
    changed = dict.fromkeys(RATE_KEYS, 0)
    for key, entry in above.items():
        known = below.get(key)
        for steps, message in _refusals(own.get(key), entry):
            entry.report(steps, message, HINT)
        if entry.problems:
            continue
        if known is None or entry.section.key not in RATE_KEYS:
            laid[key] = entry
            continue
        laid[key] = merged = _merged(known, entry)
        changed[entry.section.key] += merged.data != known.data
    return laid, RateChanges(screened(path.name), changed["causes"], changed["checks"])


def _refusals(known: Entry | None, entry: Entry) -> Iterator[tuple[list[Step], str]]:
    """Each place of an entry that goes beyond rates, and what is wrong there."""
    section = entry.section.key
    if section == "sources":
        if known is not None and known.data != entry.data:
            yield [], f"the source {entry.title} is in the library already"
    elif section not in RATE_KEYS:
        yield [], f"`{section}:` stands in an overlay"
    elif known is None or known.section.key != section:
        yield [], f"the library has no {section.removesuffix('s')} {entry.title}"
    else:
        for key, value in entry.data.items():
            if key not in RATE_KEYS[section]:
                if key not in known.data or known.data[key] != value:
                    yield [key], f"{entry.title} has another `{key}:` than the library"
            elif key == "expect" and _lines(value) != _lines(known.data.get(key)):
                yield [key], f"{entry.title} has other lines under `expect:` than the library"


def _lines(expect: object) -> list[object]:
    """The lines of an `expect:` without their chances."""
    lines = expect if isinstance(expect, Items) else []
    return [
        {key: value for key, value in line.items() if key != "chances"} if isinstance(line, Table) else line
        for line in lines
    ]


def _merged(known: Entry, entry: Entry) -> Entry:
    """The entry as it is known, with what the overlay says in place of its own."""
    data = Table(entry.line)
    for table in (known.data, entry.data):
        data.update(table)
    data.lines.update(dict.fromkeys(known.data, entry.line))
    data.lines.update(entry.data.lines)
    return Entry(known.section, known.id, data, entry.file, entry.line)
