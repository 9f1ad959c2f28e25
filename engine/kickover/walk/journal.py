"""The journal of a walk on disk: every answer is there before the next question.

One file a walk, one line an entry, each line with its own checksum and forced to disk before the program
goes on. A line that was being written when the power went is recognised and left out; nothing before it
is lost. Going back is written down too, so a journal only ever grows.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any as AnyValue
from zlib import crc32

from kickover.problem import KickoverError
from kickover.walk.entries import Entry, EntryError, from_data, to_data

try:
    import fcntl
except ImportError:  # not a POSIX system
    fcntl = None  # type: ignore[assignment]

SUFFIX = ".walk"


class JournalError(KickoverError):
    """A journal that cannot be read, written, or is in use."""


@dataclass(frozen=True, slots=True)
class Heading:
    """How a walk began: all that is needed to begin it again."""

    walk: str
    started: str
    library: str
    version: str
    machine: str
    complaints: tuple[str, ...]
    given: tuple[str, ...]
    kit: str
    items: tuple[str, ...] | None
    give_up: float | None


@dataclass(frozen=True, slots=True)
class Stamped:
    """An entry and when it was recorded (ISO 8601)."""

    entry: Entry
    at: str


@dataclass(frozen=True, slots=True)
class Record:
    """What a journal holds: its heading, the entries that still count, and what was damaged.

    `damage` says in words what could not be read; `closed` is the outcome of a walk that has ended.
    """

    path: Path
    heading: Heading
    entries: tuple[Stamped, ...]
    damage: str
    closed: str


class Journal:
    """An open journal, held by one process at a time. Made by `start` or `reopen`."""

    def __init__(self, path: Path, clock: Callable[[], str], descriptor: int) -> None:
        self.path = path
        self._clock = clock
        self._descriptor = descriptor

    def write(self, entry: Entry) -> None:
        """Put an entry on disk; it is safe when this returns."""
        self._append({**to_data(entry), "at": self._clock()})

    def write_back(self) -> None:
        """Put on disk that the last entry no longer counts."""
        self._append({"what": "back", "at": self._clock()})

    def write_closed(self, outcome: str) -> None:
        """Put on disk that the walk has ended."""
        self._append({"what": "closed", "outcome": outcome, "at": self._clock()})

    def close(self) -> None:
        """Let go of the file."""
        os.close(self._descriptor)

    def _append(self, data: Mapping[str, AnyValue]) -> None:
        _write_all(self._descriptor, _line(data), self.path)


@contextmanager
def start(folder: Path, heading: Heading, clock: Callable[[], str]) -> Iterator[Journal]:
    """Start a journal in `folder`; JournalError when that cannot be done."""
    path = folder / f"{heading.walk}{SUFFIX}"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        descriptor = os.open(path, os.O_RDWR | os.O_APPEND | os.O_CREAT | os.O_EXCL, 0o600)
    except OSError as error:
        raise JournalError(
            f"{path}: the walk cannot be saved here ({error.strerror}); "
            "set KICKOVER_HOME to a folder that you may write"
        ) from None
    journal = Journal(path, clock, descriptor)
    try:
        _lock(descriptor, path)
        _write_all(descriptor, _line({"what": "heading", **asdict(heading)}), path)
        _sync_folder(folder)
        yield journal
    finally:
        journal.close()


@contextmanager
def reopen(path: Path, clock: Callable[[], str]) -> Iterator[Journal]:
    """Open a journal to go on with it; JournalError when another process has it open."""
    try:
        descriptor = os.open(path, os.O_RDWR | os.O_APPEND)
    except OSError as error:
        raise JournalError(f"{path}: the walk cannot be opened ({error.strerror})") from None
    journal = Journal(path, clock, descriptor)
    try:
        _lock(descriptor, path)
        _drop_torn_tail(descriptor)
        yield journal
    finally:
        journal.close()


def read(path: Path) -> Record:
    """Read a journal. Everything up to the first damaged line counts; JournalError without a heading."""
    try:
        raw = path.read_bytes()
    except OSError as error:
        raise JournalError(f"{path}: the walk cannot be read ({error.strerror})") from None
    lines = raw.split(b"\n")
    torn = lines.pop()
    parsed: list[dict[str, AnyValue]] = []
    damage = ""
    for number, line in enumerate(lines, start=1):
        data = _parse(line)
        if data is None:
            damage = f"line {number} is damaged; what was recorded from there on is left out"
            break
        parsed.append(data)
    if torn and not damage:
        damage = f"line {len(lines) + 1} was not finished; that one entry is left out"
    if not parsed or parsed[0].get("what") != "heading":
        raise JournalError(f"{path}: this is not the journal of a walk, or its first line is damaged")
    entries, closed, misread = _counted(parsed[1:])
    return Record(path, _heading(parsed[0], path), entries, damage or misread, closed)


def journals(folder: Path) -> tuple[Path, ...]:
    """The journals in `folder`, latest first."""
    if not folder.is_dir():
        return ()
    return tuple(sorted(folder.glob(f"*{SUFFIX}"), key=lambda path: path.name, reverse=True))


def _counted(parsed: Sequence[Mapping[str, AnyValue]]) -> tuple[tuple[Stamped, ...], str, str]:
    entries: list[Stamped] = []
    closed = ""
    misread = ""
    for data in parsed:
        what = data.get("what")
        if what == "back":
            del entries[-1:]
            closed = ""
        elif what == "closed":
            closed = str(data.get("outcome", "closed"))
        else:
            try:
                entries.append(Stamped(from_data(data), str(data.get("at", ""))))
            except EntryError as error:
                misread = f"{error}; it is left out"
    return tuple(entries), closed, misread


def _heading(data: Mapping[str, AnyValue], path: Path) -> Heading:
    try:
        return Heading(
            walk=str(data["walk"]),
            started=str(data["started"]),
            library=str(data["library"]),
            version=str(data["version"]),
            machine=str(data["machine"]),
            complaints=tuple(data["complaints"]),
            given=tuple(data["given"]),
            kit=str(data["kit"]),
            items=None if data["items"] is None else tuple(data["items"]),
            give_up=data["give_up"],
        )
    except (KeyError, TypeError) as error:
        raise JournalError(f"{path}: the first line lacks {error}; start a new walk") from None


def _line(data: Mapping[str, AnyValue]) -> bytes:
    text = json.dumps(data, ensure_ascii=False, sort_keys=True).encode()
    return b"%s %08x\n" % (text, crc32(text))


def _parse(line: bytes) -> dict[str, AnyValue] | None:
    text, _, checksum = line.rpartition(b" ")
    if checksum != b"%08x" % crc32(text):
        return None
    data = json.loads(text)
    return data if isinstance(data, dict) else None


def _write_all(descriptor: int, data: bytes, path: Path) -> None:
    try:
        while data:
            data = data[os.write(descriptor, data) :]
        os.fsync(descriptor)
    except OSError as error:
        raise JournalError(
            f"{path}: the answer could not be saved ({error.strerror}); make room and resume"
        ) from None


def _lock(descriptor: int, path: Path) -> None:
    if fcntl is None:
        return
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        raise JournalError(f"{path}: this walk is open in another window; close that one first") from None


def _drop_torn_tail(descriptor: int) -> None:
    """Cut off everything from the first damaged line, so that new entries follow sound ones."""
    size = os.fstat(descriptor).st_size
    content = os.pread(descriptor, size, 0)
    kept = 0
    for line in content.split(b"\n")[:-1]:
        if _parse(line) is None:
            break
        kept += len(line) + 1
    if kept < size:
        os.ftruncate(descriptor, kept)
        os.fsync(descriptor)


def _sync_folder(folder: Path) -> None:
    with suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
