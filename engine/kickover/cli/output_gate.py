"""The one gate through which everything is printed: no text steers a terminal, wherever it came from."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import Any, TextIO, cast

from kickover.core.screening import screened


class OutputGate:
    """A text stream that shows by its number each character that must not be sent.

    Only what is written as text is looked at: a full-screen front screens its lines itself, and steers the
    terminal by the bytes below.
    """

    def __init__(self, stream: TextIO) -> None:
        self.ungated = stream

    def write(self, text: str) -> int:
        """Write text, screened."""
        self.ungated.write(screened(text))
        return len(text)

    def writelines(self, lines: Iterable[str]) -> None:
        """Write pieces of text, screened."""
        for line in lines:
            self.write(line)

    def __getattr__(self, name: str) -> Any:
        return getattr(self.ungated, name)


@contextmanager
def gated() -> Iterator[None]:
    """Let everything that is printed meanwhile pass the gate."""
    before = sys.stdout, sys.stderr
    sys.stdout, sys.stderr = (cast("TextIO", OutputGate(stream)) for stream in before)
    try:
        yield
    finally:
        sys.stdout, sys.stderr = before


def ungated(stream: TextIO) -> TextIO:
    """The stream behind the gate, for the program's own steering of a line that is written over."""
    return stream.ungated if isinstance(stream, OutputGate) else stream
