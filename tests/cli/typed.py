"""Running a command with typed lines in the place of a person."""

from __future__ import annotations

import io
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path
from subprocess import CompletedProcess
from unittest import mock

import pytest

from kickover.cli.main import run


def ended(*arguments: str, typed: str = "") -> CompletedProcess[str]:
    """Run a command in this process and give its end as a shell would see it."""
    printed, told = io.StringIO(), io.StringIO()
    with redirect_stdout(printed), redirect_stderr(told), mock.patch("sys.stdin", io.StringIO(typed)):
        code = run(list(arguments))
    return CompletedProcess(arguments, code, printed.getvalue(), told.getvalue())


def run_typed(monkeypatch: pytest.MonkeyPatch, typed: str, *arguments: str) -> int:
    """Run a command; `typed` is what it reads from standard input."""
    monkeypatch.setattr("sys.stdin", io.StringIO(typed))
    return run(list(arguments))


def walked(monkeypatch: pytest.MonkeyPatch, folder: Path, typed: str, complaint: str = "no-power") -> int:
    """Walk on the yard's moped."""
    return run_typed(
        monkeypatch, typed, "walk", complaint, "--machine", "moped", "--library", str(folder), "--plain"
    )
