"""Cases as rows of tables, and questions about cases as SQL. Values are always bound, never written in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

from kickover.core.screening import screened
from kickover.learning.case import Case, MeasuredFinding, Seen
from kickover.learning.notation import (
    case_of_texts,
    read_names,
    read_weights,
    texts_of,
    write_names,
    write_weights,
)

KIND_COLUMNS = ("machine", "complaints", "given", "causes", "confirmed", "repair")
"""What the reasoning about a case's cause rests on, but for what was found."""

CASE_COLUMNS = ("id", "date", *KIND_COLUMNS, "minutes", "library")
SEEN_COLUMNS = ("check_id", "weights", "low", "high", "unit", "state")


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which cases are wanted: those to which everything that is given here applies.

    `since` and `until` are dates, both inclusive. `latest` keeps only so many, by date.
    """

    id: str = ""
    machine: str = ""
    complaint: str = ""
    cause: str = ""
    check: str = ""
    since: str = ""
    until: str = ""
    latest: int | None = None

    def condition(self) -> tuple[str, tuple[object, ...]]:
        """The condition as SQL, with its values."""
        tests: list[tuple[str, object]] = [
            ("id = ?", self.id),
            ("machine = ?", self.machine),
            ("instr('+' || complaints || '+', '+' || ? || '+')", self.complaint),
            ("instr('+' || replace(causes, '/', '+') || '+', '+' || ? || '+')", self.cause),
            ("number IN (SELECT number FROM seen WHERE check_id = ?)", self.check),
            ("substr(date, 1, 10) >= ?", self.since),
            ("substr(date, 1, 10) <= ?", self.until),
        ]
        used = [(sql, value) for sql, value in tests if value]
        where = "WHERE " + " AND ".join(sql for sql, _ in used) if used else ""
        values = tuple(value for _, value in used)
        if self.latest is None:
            return where, values
        latest = ("SELECT number FROM cases", where, "ORDER BY date DESC, number DESC LIMIT ?")
        return f"WHERE number IN ({' '.join(latest)})", (*values, self.latest)


EVERY = Wanted()


class CaseText(NamedTuple):
    """A case as it is written down: number, import, day, the texts of `KIND_COLUMNS`, and its checks.

    Each check is its id, its weights and its state.
    """

    number: int
    origin: str
    date: str
    heading: tuple[str, ...]
    seen: list[tuple[str, str, str | None]]


def selecting(columns: Sequence[str], where: str) -> str:
    """The SQL that gives `columns` of cases, by number, which comes first."""
    return " ".join(("SELECT", ", ".join(("number", *columns)), "FROM cases", where, "ORDER BY number"))


def selecting_seen(columns: Sequence[str], where: str) -> str:
    """The SQL that gives `columns` of the checks of cases, by number, which comes first."""
    of_cases = ("WHERE number IN ( SELECT number FROM cases", where, ")") if where else ()
    names = ", ".join(("number", *columns))
    return " ".join(("SELECT", names, "FROM seen", *of_cases, "ORDER BY number, place"))


def inserting(table: str, columns: Sequence[str]) -> str:
    """The SQL that adds a row to `table`, unless it is there already."""
    marks = ", ".join("?" * len(columns))
    return " ".join(
        ("INSERT INTO", table, "(", ", ".join(columns), ") VALUES (", marks, ") ON CONFLICT DO NOTHING")
    )


def row_of_case(case: Case) -> tuple[object, ...]:
    """A case as its values of `CASE_COLUMNS`."""
    return tuple({**texts_of(case, CASE_COLUMNS), "minutes": case.minutes}.values())


def row_of_seen(seen: Seen) -> tuple[object, ...]:
    """One check of a case as its values of `SEEN_COLUMNS`."""
    measured = seen.measured
    reading = (None, None, None) if measured is None else (measured.low, measured.high, measured.unit)
    state = None if seen.state is None else write_names(seen.state)
    return (seen.check, write_weights(seen.weights), *reading, state)


def case_of_row(row: Sequence[Any], seen: Sequence[Sequence[Any]]) -> Case:
    """A case out of its values of `CASE_COLUMNS` and, for each check, of `SEEN_COLUMNS`."""
    texts = dict(zip(CASE_COLUMNS, row, strict=True))
    texts |= {name: screened(texts[name]) for name in ("id", "date", "machine", "repair", "library")}
    minutes = texts.pop("minutes")
    return replace(case_of_texts(texts), seen=tuple(map(_seen_of_row, seen)), minutes=minutes)


def _seen_of_row(row: Sequence[Any]) -> Seen:
    check, weights, low, high, unit, state = row
    return Seen(
        screened(check),
        read_weights(weights),
        None if low is None else MeasuredFinding(low, high, screened(unit)),
        None if state is None else read_names(state),
    )
