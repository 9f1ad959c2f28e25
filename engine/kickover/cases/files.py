"""Files of cases on disk: lines in, lines out, and the file in which bad lines are kept aside."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TextIO

from kickover.cases.record import CaseError


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


class Aside:
    """A file for lines that could not be used, as they were; it is made with the first of them."""

    def __init__(self, path: Path, heading: str = "") -> None:
        self.path = path
        self._heading = heading
        self._stream: TextIO | None = None

    def keep(self, line: str) -> None:
        """Write a line, and see that it is on disk. Raises CaseError."""
        try:
            if self._stream is None:
                self._stream = self.path.open("x", encoding="utf-8", errors="surrogateescape", newline="\n")
                self._stream.write(self._heading)
            self._stream.write(f"{line}\n")
            self._stream.flush()
        except OSError as error:
            raise CaseError(f"{self.path}: the file cannot be written ({error.strerror})") from None

    def close(self) -> None:
        """Let go of the file."""
        if self._stream is not None:
            self._stream.close()


def free_name(path: Path) -> Path:
    """A name beside `path` for what is kept aside of it, at which there is no file yet."""
    number = 1
    while (
        found := path.with_name(f"{path.stem}-aside{f'-{number}' if number > 1 else ''}{path.suffix}")
    ).exists():
        number += 1
    return found
