"""Shows on standard error how far long work has come, once it has taken more than a second."""

from __future__ import annotations

import sys
import time
from types import TracebackType

import click

from kickover.cli.output_gate import ungated

QUIET_SECONDS = 1.0
_AGAIN_SECONDS = {True: 0.2, False: 5.0}
"""How often the count is shown again, on a terminal and elsewhere."""


class Counter:
    """Counts steps of work whose number is not known beforehand; `what` says what they are."""

    def __init__(self, what: str) -> None:
        self._what = what
        self._count = 0
        self._terminal = sys.stderr.isatty()
        self._next = time.monotonic() + QUIET_SECONDS
        self._shown = False

    def __enter__(self) -> Counter:
        return self

    def step(self) -> None:
        """One more step is done."""
        self._count += 1
        if time.monotonic() >= self._next:
            self._show()

    def _show(self) -> None:
        self._shown = True
        self._next = time.monotonic() + _AGAIN_SECONDS[self._terminal]
        start, end = ("\r", False) if self._terminal else ("", True)
        click.echo(f"{start}{self._count} {self._what} ...", ungated(sys.stderr), nl=end)

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._shown and self._terminal:
            click.echo("", err=True)
