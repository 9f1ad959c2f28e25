"""The journal of a walk on disk: every answer is there before the next question.

One file a walk, one line an entry, each line with its own checksum and forced to disk before the program
goes on. A line that was being written when the power went is recognised and left out; nothing before it
is lost. Going back is written down too, so a journal only ever grows.
"""

from __future__ import annotations

import json
import os
import stat
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass
from math import isfinite
from pathlib import Path
from typing import Any as AnyValue
from zlib import crc32

from kickover.core.problem import KickoverError
from kickover.core.screening import screened_data
from kickover.session.entries import Entry, EntryError, from_data, to_data

try:
    import fcntl
except ImportError:  # not a POSIX system
    fcntl = None  # type: ignore[assignment]

SUFFIX = ".walk"
MOST_BYTES = 20_000_000
HEADING, BACK, CHANGED, CLOSED = "heading", "back", "changed", "closed"
"""What a line is that is no entry."""


class JournalError(KickoverError):
    """A journal that cannot be read, written, or is in use."""


@dataclass(frozen=True, slots=True)
class Heading:
    """How a walk began: all that is needed to begin it again.

    `profile` is the machine itself, as text by name, when it is none of the library's. `folder` is that of
    the library where it is not the shipped one; `overlays` are the files and folders laid over it.
    """

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
    profile: Mapping[str, AnyValue] | None = None
    folder: str = ""
    overlays: tuple[str, ...] = ()


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

    def keep(self, before: Sequence[Entry], after: Sequence[Entry]) -> None:
        """Put on disk what changed from `before` to `after`, in one line; it is safe when this returns.

        An answer that was changed and all that was recorded again after it are one line too, so that no
        moment exists at which they are lost.
        """
        same = 0
        for old, new in zip(before, after, strict=False):
            if old != new:
                break
            same += 1
        dropped, added = len(before) - same, after[same:]
        if not dropped and len(added) == 1:
            self._append(to_data(added[0]))
        elif dropped == 1 and not added:
            self._append({"what": BACK})
        elif dropped or added:
            self._append({"what": CHANGED, "kept": same, "entries": [to_data(entry) for entry in added]})

    def write_closed(self, outcome: str) -> None:
        """Put on disk that the walk has ended."""
        self._append({"what": CLOSED, "outcome": outcome})

    def close(self) -> None:
        """Let go of the file."""
        os.close(self._descriptor)

    def renewed(self) -> bool:
        """Write the file anew when it is no longer the one at its path; tell whether that was needed."""
        own = os.fstat(self._descriptor)
        with suppress(OSError):
            there = self.path.lstat()
            if (there.st_dev, there.st_ino) == (own.st_dev, own.st_ino):
                return False
        content = os.pread(self._descriptor, own.st_size, 0)
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            new = os.open(self.path, os.O_RDWR | os.O_APPEND | os.O_CREAT | os.O_EXCL, 0o600)
        except OSError as error:
            raise JournalError(
                f"{self.path}: the file of this walk is gone and cannot be written anew ({error.strerror})"
            ) from None
        os.close(self._descriptor)
        self._descriptor = new
        _lock(new, self.path)
        _write_all(new, content, self.path)
        return True

    def _append(self, data: Mapping[str, AnyValue]) -> None:
        _write_all(self._descriptor, _line({**data, "at": self._clock()}), self.path)


@contextmanager
def start(folder: Path, heading: Heading, clock: Callable[[], str]) -> Iterator[Journal]:
    """Start a journal in `folder`; JournalError when that cannot be done."""
    path = folder / f"{heading.walk}{SUFFIX}"
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        descriptor = os.open(path, os.O_RDWR | os.O_APPEND | os.O_CREAT | os.O_EXCL, 0o600)
    except OSError as error:
        raise JournalError(
            f"{path}: the walk cannot be saved here ({error.strerror}); "
            "set KICKOVER_HOME to a folder that you may write"
        ) from None
    journal = Journal(path, clock, descriptor)
    try:
        _lock(descriptor, path)
        try:
            _write_all(descriptor, _line({"what": HEADING, **asdict(heading)}), path)
        except JournalError:
            path.unlink(missing_ok=True)
            raise
        _sync_folder(folder)
        yield journal
    finally:
        journal.close()


@contextmanager
def reopen(path: Path, clock: Callable[[], str]) -> Iterator[tuple[Journal, Record]]:
    """Open a journal to go on with it, and read it; JournalError when another process has it open."""
    descriptor = _opened(path, os.O_RDWR | os.O_APPEND)
    journal = Journal(path, clock, descriptor)
    try:
        _lock(descriptor, path)
        record = read(path)
        _drop_torn_tail(descriptor)
        yield journal, record
    finally:
        journal.close()


def read(path: Path) -> Record:
    """Read a journal. Lines that are damaged are left out and told; JournalError without a heading.

    Line ends of other systems and a byte-order mark, which copying may bring, are understood.
    """
    descriptor = _opened(path, os.O_RDONLY)
    with os.fdopen(descriptor, "rb") as stream:
        raw = stream.read(MOST_BYTES + 1)
    if len(raw) > MOST_BYTES:
        raise JournalError(f"{path}: this is larger than any walk; delete it, or keep it elsewhere")
    *lines, torn = raw.removeprefix(b"\xef\xbb\xbf").replace(b"\r\n", b"\n").split(b"\n")
    parsed = [_parse(line) for line in lines]
    if not parsed or parsed[0] is None or parsed[0].get("what") != HEADING:
        raise JournalError(f"{path}: this is not the journal of a walk, or its first line is damaged")
    damage = [f"line {number} is damaged" for number, data in enumerate(parsed, start=1) if data is None]
    if torn:
        damage.append(f"line {len(lines) + 1} was not finished")
    sound = [data for data in parsed[1:] if data is not None]
    entries, closed, misread = _counted(sound)
    told = "; ".join([*damage, *misread])
    return Record(path, _heading(parsed[0], path), entries, f"{told}; left out" if told else "", closed)


def journals(folder: Path) -> tuple[Path, ...]:
    """The journals in `folder`, latest first."""
    if not folder.is_dir():
        return ()
    return tuple(sorted(folder.glob(f"*{SUFFIX}"), key=lambda path: path.name, reverse=True))


def delete(path: Path) -> None:
    """Delete a journal, whatever is in it. JournalError when another window has it open."""
    try:
        if path.is_file() and not path.is_symlink():
            descriptor = _opened(path, os.O_RDWR)
            try:
                _lock(descriptor, path)
                path.unlink()
            finally:
                os.close(descriptor)
        else:
            path.unlink()
    except OSError as error:
        raise JournalError(f"{path}: the walk cannot be deleted ({error.strerror})") from None


def _opened(path: Path, flags: int) -> int:
    """Open a plain file: no link, no pipe, no device, which might be written through or never end."""
    try:
        descriptor = os.open(path, flags | os.O_NOFOLLOW | os.O_NONBLOCK)
    except OSError as error:
        raise JournalError(f"{path}: the walk cannot be opened ({error.strerror})") from None
    if not stat.S_ISREG(os.fstat(descriptor).st_mode):
        os.close(descriptor)
        raise JournalError(f"{path}: this is no plain file; delete it")
    return descriptor


def _counted(parsed: Sequence[Mapping[str, AnyValue]]) -> tuple[tuple[Stamped, ...], str, list[str]]:
    """The entries that still count, the outcome of a walk that was closed, and what was not understood."""
    entries: list[Stamped] = []
    closed = ""
    misread: list[str] = []
    for data in parsed:
        what = data.get("what")
        closed = str(data.get("outcome", CLOSED)) if what == CLOSED else ""
        added: list[Mapping[str, AnyValue]] = []
        if what == BACK:
            del entries[-1:]
        elif what == CHANGED:
            kept, changed = data.get("kept"), data.get("entries")
            if not isinstance(kept, int) or kept < 0 or not isinstance(changed, list):
                misread.append("a change of earlier answers cannot be understood")
                continue
            del entries[kept:]
            added = [one if isinstance(one, dict) else {} for one in changed]
        elif what != CLOSED:
            added = [data]
        for one in added:
            try:
                entries.append(Stamped(from_data(one), str(data.get("at", ""))))
            except EntryError as error:
                misread.append(str(error))
    return tuple(entries), closed, misread


def _heading(data: Mapping[str, AnyValue], path: Path) -> Heading:
    def text(name: str) -> str:
        if not isinstance(value := data.get(name), str):
            raise JournalError(f"{path}: the first line lacks {name!r}; delete this walk, or start a new one")
        return value

    def names(name: str) -> tuple[str, ...]:
        value = data.get(name)
        if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
            raise JournalError(f"{path}: the first line lacks {name!r}; delete this walk, or start a new one")
        return tuple(value)

    give_up, profile = data.get("give_up"), data.get("profile")
    sound = give_up is None or (
        isinstance(give_up, int | float) and not isinstance(give_up, bool) and isfinite(give_up)
    )
    if not sound or not isinstance(profile, dict | None):
        raise JournalError(f"{path}: the first line cannot be understood; delete this walk")
    return Heading(
        walk=text("walk"),
        started=text("started"),
        library=text("library"),
        version=text("version"),
        machine=text("machine"),
        complaints=names("complaints"),
        given=names("given"),
        kit=text("kit"),
        items=None if data.get("items") is None else names("items"),
        give_up=give_up,
        profile=profile,
        folder=text("folder") if "folder" in data else "",
        overlays=names("overlays") if "overlays" in data else (),
    )


def _line(data: Mapping[str, AnyValue]) -> bytes:
    text = json.dumps(data, ensure_ascii=False, sort_keys=True).encode()
    return b"%s %08x\n" % (text, crc32(text))


def _parse(line: bytes) -> dict[str, AnyValue] | None:
    text, _, checksum = line.rpartition(b" ")
    if checksum != b"%08x" % crc32(text):
        return None
    try:
        data = json.loads(text)
    except (ValueError, RecursionError):
        return None
    return screened_data(data) if isinstance(data, dict) else None


def _write_all(descriptor: int, data: bytes, path: Path) -> None:
    """Write and force to disk, or leave the file as it was and raise JournalError."""
    size = os.fstat(descriptor).st_size
    try:
        while data:
            data = data[os.write(descriptor, data) :]
        os.fsync(descriptor)
    except OSError as error:
        with suppress(OSError):
            os.ftruncate(descriptor, size)
        raise JournalError(f"{path}: could not be saved ({error.strerror}); make room") from None


def _lock(descriptor: int, path: Path) -> None:
    if fcntl is None:
        return
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        raise JournalError(f"{path}: this walk is open in another window; close that one first") from None


def _drop_torn_tail(descriptor: int) -> None:
    """Cut off a last line that was not finished, so that new entries follow sound ones."""
    size = os.fstat(descriptor).st_size
    content = os.pread(descriptor, size, 0)
    kept = content.rfind(b"\n") + 1
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
