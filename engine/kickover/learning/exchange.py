"""Cases as text for other programs: CSV for tables, JSON Lines for everything else.

One case is one line in either form, so that a damaged line spoils no other. Reading gives back exactly what
was written. A case without an id gets one from the text of its line, so that the same file read twice adds
nothing twice.
"""

from __future__ import annotations

import csv
import hashlib
import io
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from pathlib import Path

from kickover.core.screening import cut_short
from kickover.learning.case import Case, CaseError, Confirmed
from kickover.learning.json_lines import case_of_json, json_of_case
from kickover.learning.notation import (
    read_causes,
    read_names,
    read_seen,
    write_causes,
    write_names,
    write_seen,
)

COLUMNS = (
    "id",
    "date",
    "machine",
    "complaints",
    "given",
    "causes",
    "confirmed",
    "repair",
    "seen",
    "minutes",
    "library",
)
NEEDED = ("date", "machine", "complaints", "causes")
MOST_CHARACTERS = 200_000
"""A longer line than this is no case."""


class Form(StrEnum):
    """A form in which cases are exchanged; its value is also the ending of a file's name."""

    CSV = "csv"
    JSONL = "jsonl"


@dataclass(frozen=True, slots=True)
class ExchangeRow:
    """One line of a file: its number from 1, its text, and the case in it or what is wrong with it."""

    line: int
    text: str
    case: Case | None
    trouble: str = ""


def form_of(path: Path) -> Form:
    """The form that a file's name asks for. Raises CaseError when it is neither."""
    ending = path.suffix.lower().removeprefix(".")
    if ending not in list(Form):
        raise CaseError(f"{path}: cannot tell its form; end its name in .csv or .jsonl")
    return Form(ending)


def write_lines(cases: Iterable[Case], form: Form) -> Iterator[str]:
    """The lines of a file of cases, each with its line break."""
    if form is Form.CSV:
        yield _csv_line(COLUMNS)
        yield from (_csv_line(_cells(case)) for case in cases)
    else:
        yield from (json_of_case(case) + "\n" for case in cases)


def read_lines(lines: Iterable[str], form: Form) -> Iterator[ExchangeRow]:
    """Read a file of cases line by line; empty lines are passed over.

    Raises CaseError when the heading of a CSV file lacks a column that is needed.
    """
    numbered = enumerate(lines, start=1)
    if form is Form.CSV:
        names = _heading(next(numbered, (1, ""))[1])
        read: Callable[[str], Case] = lambda text: _case_of_cells(names, text)  # noqa: E731
    else:
        read = case_of_json
    copies: Counter[bytes] = Counter()
    for number, line in numbered:
        text = line.rstrip("\r\n")
        if not text.strip():
            continue
        try:
            case = read(_sound(text))
        except CaseError as error:
            yield ExchangeRow(number, text, None, cut_short(str(error)))
            continue
        yield ExchangeRow(number, text, case if case.id else replace(case, id=_own_id(text, copies)))


def _sound(text: str) -> str:
    if len(text) > MOST_CHARACTERS:
        raise CaseError(f"the line has more than {MOST_CHARACTERS} characters; write one case a line")
    if any("\ud800" <= letter <= "\udfff" for letter in text):
        raise CaseError("the line is not UTF-8 text; save the file as UTF-8")
    return text


def _own_id(text: str, copies: Counter[bytes]) -> str:
    digest = hashlib.sha256(text.strip().encode()).digest()[:8]
    copies[digest] += 1
    return f"line-{digest.hex()}" + (f"-{copies[digest]}" if copies[digest] > 1 else "")


def _cells(case: Case) -> tuple[str, ...]:
    return (
        case.id,
        case.date,
        case.machine,
        write_names(case.complaints),
        write_names(case.given),
        write_causes(case.causes),
        case.confirmed.value,
        case.repair,
        write_seen(case.seen),
        "" if case.minutes is None else repr(case.minutes),
        case.library,
    )


_FORMULA = ("=", "+", "-", "@", "\t", "'")
"""Beginnings of a text that spreadsheets take for a formula, and the mark that stands before one here."""


def _csv_line(cells: Iterable[str]) -> str:
    """One record on one line: line breaks are written as spaces, and no cell begins like a formula."""
    text = io.StringIO()
    flat = (" ".join(cell.splitlines()) if cell.splitlines() != [cell] else cell for cell in cells)
    csv.writer(text, lineterminator="\n").writerow(
        f"'{cell}" if cell.startswith(_FORMULA) else cell for cell in flat
    )
    return text.getvalue()


def _parted(text: str) -> list[str]:
    try:
        return next(csv.reader([text], strict=True), [])
    except csv.Error:
        raise CaseError(
            'a quotation mark is not closed; close it, or write "" for one inside a cell'
        ) from None


def _heading(text: str) -> tuple[str, ...]:
    names = tuple(name.strip().lower() for name in _parted(text.removeprefix("\ufeff").rstrip("\r\n")))
    lacking = [name for name in NEEDED if name not in names]
    if lacking:
        raise CaseError(
            f"1: the heading lacks {', '.join(lacking)}; the columns are {', '.join(COLUMNS)},"
            f" of which {', '.join(NEEDED)} are needed"
        )
    for name in names:
        if name not in COLUMNS or names.count(name) > 1:
            wrong = "is there twice" if name in COLUMNS else "is not known"
            raise CaseError(
                f"1: the column {cut_short(name, 60)!r} {wrong}; the columns are {', '.join(COLUMNS)}"
            )
    return names


def _case_of_cells(names: tuple[str, ...], text: str) -> Case:
    cells = _parted(text)
    if len(cells) != len(names):
        raise CaseError(f"there are {len(cells)} cells where {len(names)} are wanted; put the line right")
    row: Mapping[str, str] = dict(zip(names, (_unguarded(cell.strip()) for cell in cells), strict=True))
    confirmed = row.get("confirmed") or Confirmed.SEEN.value
    if confirmed not in list(Confirmed):
        raise CaseError(f"{confirmed!r} is no confirmation; write {', '.join(Confirmed)}")
    return Case(
        id=row.get("id", ""),
        date=row["date"],
        machine=row["machine"],
        complaints=read_names(row["complaints"]),
        given=read_names(row.get("given", "")),
        causes=read_causes(row["causes"]),
        confirmed=Confirmed(confirmed),
        repair=row.get("repair", ""),
        seen=read_seen(row.get("seen", "")),
        minutes=_minutes(row.get("minutes", "")),
        library=row.get("library", ""),
    )


def _unguarded(cell: str) -> str:
    return cell[1:] if cell.startswith("'") and cell[1:].startswith(_FORMULA) else cell


def _minutes(text: str) -> float | None:
    if not text:
        return None
    try:
        return float(text)
    except ValueError:
        raise CaseError(f"{text!r} is no number of minutes; write for example 25") from None
