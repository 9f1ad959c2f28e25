"""Files of cases on disk: lines in, lines out, and the file in which bad lines are kept aside."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from itertools import islice
from pathlib import Path

from kickover.learning.case import CaseError
from kickover.learning.exchange import ExchangeRow
from kickover.learning.likely_causes import Grounds
from kickover.learning.store import CaseStore
from kickover.learning.vetting import objections


@contextmanager
def lines_in(path: Path) -> Iterator[Iterator[str]]:
    """The lines of a text file; bytes that are no UTF-8 are kept as lone surrogates. Raises CaseError."""
    try:
        with path.open(encoding="utf-8", errors="surrogateescape") as stream:
            yield iter(stream)
    except OSError as error:
        raise CaseError(f"{path}: the file cannot be read ({error.strerror}); name another") from None


def write_whole(path: Path, lines: Iterable[str]) -> int:
    """Write a file that is there in full or not at all; give the number of lines. Raises CaseError."""
    beside = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        number = 0
        with beside.open("w", encoding="utf-8", newline="\n") as stream:
            for line in lines:
                stream.write(line)
                number += 1
            stream.flush()
            os.fsync(stream.fileno())
        beside.replace(path)
    except OSError as error:
        raise CaseError(f"{path}: the file cannot be written ({error.strerror}); name another") from None
    finally:
        beside.unlink(missing_ok=True)
    return number


def keep_line(path: Path, line: str, heading: str | None = None) -> None:
    """Add a line to a file, and see that it is on disk. Raises CaseError.

    With a `heading` it is the first line, and comes after that, in a file that must not be there yet.
    """
    mode = "a" if heading is None else "x"
    try:
        with path.open(mode, encoding="utf-8", errors="surrogateescape", newline="\n") as stream:
            stream.write(f"{heading or ''}{line}\n")
    except OSError as error:
        raise CaseError(f"{path}: the file cannot be written ({error.strerror})") from None


def free_name(path: Path) -> Path:
    """A name beside `path` for what is kept aside of it, at which there is no file yet."""
    number = 1
    while (
        found := path.with_name(f"{path.stem}-aside{f'-{number}' if number > 1 else ''}{path.suffix}")
    ).exists():
        number += 1
    return found


BATCH = 2000
"""Cases that are added in one transaction."""


@dataclass(slots=True)
class Imported:
    """How many cases were added, were there already, and were kept aside."""

    added: int = 0
    known: int = 0
    aside: int = 0


def import_rows(
    rows: Iterable[ExchangeRow],
    store: CaseStore,
    grounds: Grounds,
    today: date,
    keep_aside: Callable[[ExchangeRow, str], None],
    origin: str = "",
) -> Imported:
    """Add the cases of `rows`; hand each that cannot be added to `keep_aside` with what is wrong.

    `origin` names this import. What was added stays, whatever comes after it. A case that is there already
    with the same content is passed over; one whose id is there with other content is kept aside.
    """
    done = Imported()
    for batch in _batches(rows):
        good = []
        for row in batch:
            trouble = row.trouble
            if row.case is not None:
                trouble = next(iter(objections(row.case, grounds, today)), "")
            if trouble or row.case is None:
                done.aside += 1
                keep_aside(row, trouble)
            else:
                good.append((row, row.case))
        left_out = store.add([case for _, case in good], origin)
        done.added += len(good) - len(left_out)
        for place in left_out:
            row, case = good[place]
            if store.find(case.id) == case:
                done.known += 1
            else:
                done.aside += 1
                keep_aside(row, f"another case has the id {case.id!r}; give this one an id of its own")
    return done


def _batches(rows: Iterable[ExchangeRow]) -> Iterator[list[ExchangeRow]]:
    waiting = iter(rows)
    while batch := list(islice(waiting, BATCH)):
        yield batch
