"""The program in a real pseudo-terminal, and what its screen shows (through a terminal emulator)."""

from __future__ import annotations

import os
import re
import signal
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

import pexpect
import pyte

WAIT = 120.0
"""Seconds after which a screen that does not come counts as stuck; never waited for when it comes."""


class RealTerminal:
    """One run of `kickover` in a terminal of a given size."""

    def __init__(
        self,
        arguments: Sequence[str],
        home: Path,
        *,
        columns: int = 80,
        rows: int = 24,
        environment: Mapping[str, str] | None = None,
    ) -> None:
        self._screen = pyte.Screen(columns, rows)
        self._stream = pyte.ByteStream(self._screen)
        self.written = bytearray()
        self._child = pexpect.spawn(
            sys.executable,
            ["-m", "kickover.cli.main", *arguments],
            dimensions=(rows, columns),
            env={
                **os.environ,
                "KICKOVER_HOME": str(home),
                "TERM": "xterm-256color",
                "PYTHONPATH": os.pathsep.join(sys.path),
                "PROMPT_TOOLKIT_NO_CPR": "1",
                **(environment or {}),
            },
            timeout=WAIT,
        )
        self._child.delaybeforesend = None

    def text(self) -> str:
        """What the screen shows, line by line."""
        return "\n".join(line.rstrip() for line in self._screen.display)

    def flat(self) -> str:
        """What the screen shows as one line with single spaces: wrapping does not matter."""
        return " ".join(self.text().split())

    def shows(self, words: str) -> bool:
        """Tell whether the words are on the screen, however they are wrapped."""
        return " ".join(words.split()) in self.flat()

    def wait_for(self, words: str) -> str:
        """Read until the words are on the screen; AssertionError with the screen when they never come."""
        while not self.shows(words):
            try:
                self._feed(self._child.read_nonblocking(65536, timeout=WAIT))
            except (pexpect.TIMEOUT, pexpect.EOF) as ending:
                name = type(ending).__name__
                raise AssertionError(f"{name}: {words!r} is not on the screen:\n{self.text()}") from None
        return self.text()

    def send(self, keys: str | bytes) -> None:
        """Send keys as they are."""
        self._child.send(keys)

    def type(self, line: str) -> None:
        """Type a line and press Enter."""
        self._child.send(f"{line}\r")

    def resize(self, columns: int, rows: int) -> None:
        """Change the size of the terminal, as a window or a turned phone does."""
        self._screen.resize(rows, columns)
        self._child.setwinsize(rows, columns)

    def kill(self) -> None:
        """End the program at once, as a dying battery does."""
        self._child.kill(signal.SIGKILL)
        self._child.wait()
        self._child.close()

    def finish(self) -> int:
        """Read to the end and give the exit code."""
        while True:
            try:
                self._feed(self._child.read_nonblocking(65536, timeout=WAIT))
            except pexpect.EOF:
                break
        self._child.close()
        status = self._child.exitstatus
        return status if status is not None else -int(self._child.signalstatus or 0)

    def plainly_written(self) -> str:
        """All that was ever written, without the sequences that steer the terminal."""
        text = self.written.decode("utf-8", "replace")
        return re.sub(r"\x1b(\[[0-9;?]*[ -/]*[@-~]|\][^\x07]*\x07|[@-_])", "", text)

    def _feed(self, data: bytes | str) -> None:
        assert isinstance(data, bytes)
        self.written += data
        self._stream.feed(data)
