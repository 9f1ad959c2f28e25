"""Cases in a SQLite file: added, found, streamed.

Every addition is one transaction that is on disk when the call returns. Several processes may use the file
at once; each waits for the others. A file of an earlier version is brought up to date when it is opened,
all of it or nothing.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from kickover.core.problem import KickoverError
from kickover.learning.case import Case
from kickover.learning.rows import (
    CASE_COLUMNS,
    EVERY,
    KIND_COLUMNS,
    SEEN_COLUMNS,
    CaseText,
    Wanted,
    case_of_row,
    inserting,
    row_of_case,
    row_of_seen,
    selecting,
    selecting_seen,
)

APPLICATION = 0x4B49434B
"""The mark by which a file of ours is known (SQLite's application id)."""

PATIENCE = 30.0
"""Seconds for which a process waits for another that is writing."""

_ELSEWHERE = "set KICKOVER_HOME to a folder that you may write"


class StoreError(KickoverError):
    """A file of cases that cannot be opened, read or written."""


class CaseStore:
    """An open file of cases. Made by `opened`."""

    def __init__(self, connection: sqlite3.Connection, path: Path) -> None:
        self._connection = connection
        self.path = path

    def add(self, cases: Iterable[Case], origin: str = "") -> tuple[int, ...]:
        """Add cases, all or none. Give the places of those left out because their id is there already.

        `origin` names the import that they came with; it is empty for those written down here.
        """
        with self._writing() as cursor:
            return tuple([place for place, case in enumerate(cases) if not _insert(cursor, case, origin)])

    def origins(self) -> dict[str, int]:
        """How many cases came with each import, the latest import last; under "" those written down here."""
        query = "SELECT origin, COUNT(*) FROM cases GROUP BY origin ORDER BY MAX(number)"
        with _in_words(self.path):
            return {str(origin): int(count) for origin, count in self._connection.execute(query)}

    def remove_origin(self, origin: str) -> int:
        """Take out all cases that came with one import; give their number."""
        with self._writing() as cursor:
            return int(cursor.execute("DELETE FROM cases WHERE origin = ?", (origin,)).rowcount)

    def find(self, id_: str) -> Case | None:
        """The case of that id, or None."""
        return next(iter(list(self.stream(Wanted(id=id_)))), None)

    def replace(self, case: Case) -> bool:
        """Put a case in the place of the one with its id, all or nothing; False when there is none."""
        with self._writing() as cursor:
            row = cursor.execute("SELECT origin FROM cases WHERE id = ?", (case.id,)).fetchone()
            if row is not None:
                cursor.execute("DELETE FROM cases WHERE id = ?", (case.id,))
                _insert(cursor, case, str(row[0]))
        return row is not None

    def remove(self, id_: str) -> bool:
        """Take a case out; False when it is not there."""
        with self._writing() as cursor:
            return bool(cursor.execute("DELETE FROM cases WHERE id = ?", (id_,)).rowcount)

    def count(self) -> int:
        """How many cases there are."""
        with _in_words(self.path):
            return int(self._connection.execute("SELECT COUNT(*) FROM cases").fetchone()[0])

    def stream(self, wanted: Wanted = EVERY) -> Iterator[Case]:
        """Cases in the order in which they were added, a few in memory at a time.

        What others add meanwhile is not in it.
        """
        for _, *row, seen in self._merged(CASE_COLUMNS, SEEN_COLUMNS, wanted):
            yield case_of_row(row, seen)

    def texts(self) -> Iterator[CaseText]:
        """Every case as it is written down, for going over very many of them quickly."""
        columns = ("origin", "date", *KIND_COLUMNS)
        for number, origin, date, *kind, seen in self._merged(
            columns, ("check_id", "weights", "state"), EVERY
        ):
            yield CaseText(number, origin, date, tuple(kind), seen)

    def _merged(
        self, case_columns: Sequence[str], seen_columns: Sequence[str], wanted: Wanted
    ) -> Iterator[tuple[Any, ...]]:
        """Rows of cases, each with the list of its rows of checks, out of one moment of the file."""
        where, values = wanted.condition()
        with _in_words(self.path):
            self._connection.execute("BEGIN")
            try:
                seen = iter(self._connection.execute(selecting_seen(seen_columns, where), values))
                ahead = next(seen, None)
                for row in self._connection.execute(selecting(case_columns, where), values):
                    found = []
                    while ahead is not None and ahead[0] == row[0]:
                        found.append(ahead[1:])
                        ahead = next(seen, None)
                    yield (*row, found)
            finally:
                with suppress(sqlite3.ProgrammingError):  # closed before all rows were taken
                    self._connection.execute("ROLLBACK")

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Cursor]:
        with _in_words(self.path), _transaction(self._connection) as cursor:
            yield cursor


@contextmanager
def opened(path: Path) -> Iterator[CaseStore]:
    """Open a file of cases, making it when it is not there. Raises StoreError when that cannot be done."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        reason = f"the folder cannot be made ({error.strerror})"
        raise StoreError(f"{path.parent}: {reason}; {_ELSEWHERE}") from None
    with _in_words(path):
        connection = sqlite3.connect(path, timeout=PATIENCE, isolation_level=None)
    try:
        with _in_words(path):
            _prepare(connection, path)
        yield CaseStore(connection, path)
    finally:
        connection.close()


def _prepare(connection: sqlite3.Connection, path: Path) -> None:
    version = _version(connection, path)
    with suppress(sqlite3.OperationalError):  # another process is in it: its way of writing stays
        connection.execute("PRAGMA journal_mode = WAL")
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("PRAGMA foreign_keys = ON")
    if version < len(VERSIONS):
        _bring_up_to_date(connection, path)


def _version(connection: sqlite3.Connection, path: Path) -> int:
    """How many scripts the file has run; StoreError when it is none of ours."""
    application = connection.execute("PRAGMA application_id").fetchone()[0]
    version = int(connection.execute("PRAGMA user_version").fetchone()[0])
    tables = connection.execute("SELECT COUNT(*) FROM sqlite_master").fetchone()[0]
    if application != APPLICATION and tables:
        raise StoreError(f"{path}: this is a file of some other program; name another file")
    if version > len(VERSIONS):
        raise StoreError(f"{path}: this file was written by a later kickover; update kickover to use it")
    return version


def _bring_up_to_date(connection: sqlite3.Connection, path: Path) -> None:
    """Run the missing scripts in one transaction; another process may have been first."""
    with _transaction(connection) as cursor:
        for script in VERSIONS[_version(connection, path) :]:
            for statement in script.split(";"):
                cursor.execute(statement)
        cursor.execute(f"PRAGMA application_id = {APPLICATION}")
        cursor.execute(f"PRAGMA user_version = {len(VERSIONS)}")


@contextmanager
def _transaction(connection: sqlite3.Connection) -> Iterator[sqlite3.Cursor]:
    """All of what is done in it, or nothing."""
    cursor = connection.cursor()
    cursor.execute("BEGIN IMMEDIATE")
    try:
        yield cursor
        cursor.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            cursor.execute("ROLLBACK")
        raise


def _insert(cursor: sqlite3.Cursor, case: Case, origin: str) -> bool:
    cursor.execute(inserting("cases", (*CASE_COLUMNS, "origin")), (*row_of_case(case), origin))
    if cursor.rowcount <= 0:
        return False
    number = cursor.lastrowid
    columns = ("number", "place", *SEEN_COLUMNS)
    rows = ((number, place, *row_of_seen(seen)) for place, seen in enumerate(case.seen))
    cursor.executemany(inserting("seen", columns), rows)
    return True


@contextmanager
def _in_words(path: Path) -> Iterator[None]:
    try:
        yield
    except sqlite3.DatabaseError as error:
        raise StoreError(f"{path}: {_explained(error)}") from None


def _explained(error: sqlite3.DatabaseError) -> str:
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    match code:
        case sqlite3.SQLITE_FULL:
            return "there is no room on the disk, nothing was added; make room and do it again"
        case sqlite3.SQLITE_BUSY | sqlite3.SQLITE_LOCKED:
            return "another program keeps writing to it; wait until that has ended"
        case sqlite3.SQLITE_NOTADB:
            return "this is no file of cases; name another file"
        case sqlite3.SQLITE_CORRUPT:
            return "the file is damaged; keep a copy of it, and begin a new one with what you exported"
        case sqlite3.SQLITE_CANTOPEN | sqlite3.SQLITE_READONLY | sqlite3.SQLITE_PERM:
            return f"the file cannot be opened for writing; {_ELSEWHERE}"
    return f"the file cannot be used ({error}); {_ELSEWHERE}"


VERSION_1 = """
CREATE TABLE cases (
    number INTEGER PRIMARY KEY,
    id TEXT NOT NULL UNIQUE,
    date TEXT NOT NULL,
    machine TEXT NOT NULL,
    complaints TEXT NOT NULL,
    given TEXT NOT NULL,
    causes TEXT NOT NULL,
    minutes REAL,
    library TEXT NOT NULL
);
CREATE TABLE seen (
    number INTEGER NOT NULL REFERENCES cases (number) ON DELETE CASCADE,
    place INTEGER NOT NULL,
    check_id TEXT NOT NULL,
    weights TEXT NOT NULL,
    PRIMARY KEY (number, place)
) WITHOUT ROWID;
"""

VERSION_2 = """
ALTER TABLE cases ADD COLUMN confirmed TEXT NOT NULL DEFAULT 'seen';
ALTER TABLE cases ADD COLUMN repair TEXT NOT NULL DEFAULT '';
ALTER TABLE seen ADD COLUMN low REAL;
ALTER TABLE seen ADD COLUMN high REAL;
ALTER TABLE seen ADD COLUMN unit TEXT;
ALTER TABLE seen ADD COLUMN state TEXT;
CREATE INDEX cases_by_date ON cases (date);
"""
"""How a cause was confirmed, the repair that ended the complaint, readings, and the state of each check."""

VERSION_3 = """
ALTER TABLE cases ADD COLUMN origin TEXT NOT NULL DEFAULT '';
CREATE INDEX cases_by_origin ON cases (origin);
"""
"""The import that a case came with, so that it can be undone as one and weighed as one."""

VERSIONS = (VERSION_1, VERSION_2, VERSION_3)
"""The scripts, oldest first; `PRAGMA user_version` of a file says how many of them it has run."""
