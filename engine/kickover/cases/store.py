"""Cases in a SQLite file: added, found, streamed.

Every addition is one transaction that is on disk when the call returns. Several processes may use the file
at once; each waits for the others. A file of an earlier version is brought up to date when it is opened,
all of it or nothing.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from kickover.cases.notation import (
    read_causes,
    read_names,
    read_weights,
    write_causes,
    write_names,
    write_weights,
)
from kickover.cases.record import Case, Seen
from kickover.cases.schema import VERSIONS
from kickover.problem import KickoverError

APPLICATION = 0x4B49434B
PATIENCE = 30.0
"""Seconds for which a process waits for another that is writing."""


class StoreError(KickoverError):
    """A file of cases that cannot be opened, read or written."""


class CaseStore:
    """An open file of cases. Made by `opened`."""

    def __init__(self, connection: sqlite3.Connection, path: Path) -> None:
        self._connection = connection
        self.path = path

    def add(self, cases: Iterable[Case]) -> int:
        """Add cases, all or none; give how many were new. A case whose id is there already is left out."""
        with self._writing() as cursor:
            return sum(_insert(cursor, case) for case in cases)

    def count(self) -> int:
        """How many cases there are."""
        with _in_words(self.path):
            return int(self._connection.execute("SELECT COUNT(*) FROM cases").fetchone()[0])

    def stream(self) -> Iterator[Case]:
        """Every case, in the order in which they were added, a few in memory at a time."""
        with _in_words(self.path):
            rows = self._connection.execute("SELECT * FROM cases ORDER BY number")
            for number, *row in rows:
                yield _case(row, self._seen(number))

    def _seen(self, number: int) -> tuple[Seen, ...]:
        found = self._connection.execute(
            "SELECT check_id, weights FROM seen WHERE number = ? ORDER BY place", (number,)
        )
        return tuple(Seen(check, read_weights(weights)) for check, weights in found)

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Cursor]:
        with _in_words(self.path):
            cursor = self._connection.cursor()
            cursor.execute("BEGIN IMMEDIATE")
            try:
                yield cursor
                cursor.execute("COMMIT")
            except BaseException:
                if self._connection.in_transaction:
                    cursor.execute("ROLLBACK")
                raise


@contextmanager
def opened(path: Path) -> Iterator[CaseStore]:
    """Open a file of cases, making it when it is not there. Raises StoreError when that cannot be done."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(
            f"{path.parent}: the folder cannot be made ({error.strerror}); {_ELSEWHERE}"
        ) from None
    with _in_words(path):
        connection = sqlite3.connect(path, timeout=PATIENCE, isolation_level=None)
    try:
        with _in_words(path):
            _prepare(connection, path)
        yield CaseStore(connection, path)
    finally:
        connection.close()


def _prepare(connection: sqlite3.Connection, path: Path) -> None:
    with suppress(sqlite3.OperationalError):  # another process is in it: the way of writing stays as it is
        connection.execute("PRAGMA journal_mode = WAL")
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("PRAGMA foreign_keys = ON")
    version = _version(connection, path)
    if version < len(VERSIONS):
        _bring_up_to_date(connection, path)


def _version(connection: sqlite3.Connection, path: Path) -> int:
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
    connection.execute("BEGIN IMMEDIATE")
    try:
        for script in VERSIONS[_version(connection, path) :]:
            for statement in script.split(";"):
                connection.execute(statement)
        connection.execute(f"PRAGMA application_id = {APPLICATION}")
        connection.execute(f"PRAGMA user_version = {len(VERSIONS)}")
        connection.execute("COMMIT")
    except BaseException:
        connection.execute("ROLLBACK")
        raise


def _insert(cursor: sqlite3.Cursor, case: Case) -> bool:
    cursor.execute(
        "INSERT INTO cases (id, date, machine, complaints, given, causes, minutes, library)"
        " VALUES (?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT (id) DO NOTHING",
        (
            case.id,
            case.date,
            case.machine,
            write_names(case.complaints),
            write_names(case.given),
            write_causes(case.causes),
            case.minutes,
            case.library,
        ),
    )
    if not cursor.rowcount:
        return False
    number = cursor.lastrowid
    cursor.executemany(
        "INSERT INTO seen (number, place, check_id, weights) VALUES (?, ?, ?, ?)",
        ((number, place, one.check, write_weights(one.weights)) for place, one in enumerate(case.seen)),
    )
    return True


def _case(row: list[object], seen: tuple[Seen, ...]) -> Case:
    id_, date, machine, complaints, given, causes, minutes, library = row
    return Case(
        id=str(id_),
        date=str(date),
        machine=str(machine),
        complaints=read_names(str(complaints)),
        given=read_names(str(given)),
        causes=read_causes(str(causes)),
        seen=seen,
        minutes=None if minutes is None else float(str(minutes)),
        library=str(library),
    )


_ELSEWHERE = "set KICKOVER_HOME to a folder that you may write"


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
            return "the file is damaged; take a copy, and import what an export of it still gives"
        case sqlite3.SQLITE_CANTOPEN | sqlite3.SQLITE_READONLY | sqlite3.SQLITE_PERM:
            return f"the file cannot be opened for writing; {_ELSEWHERE}"
    return f"the file cannot be used ({error}); {_ELSEWHERE}"
