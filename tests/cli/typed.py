"""Running a command with typed lines in the place of a person."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from kickover.cli.main import run


def run_typed(monkeypatch: pytest.MonkeyPatch, typed: str, *arguments: str) -> int:
    """Run a command; `typed` is what it reads from standard input."""
    monkeypatch.setattr("sys.stdin", io.StringIO(typed))
    return run(list(arguments))


def walked(monkeypatch: pytest.MonkeyPatch, folder: Path, typed: str, complaint: str = "no-power") -> int:
    """Walk on the yard's moped."""
    return run_typed(
        monkeypatch, typed, "walk", complaint, "--machine", "moped", "--library", str(folder), "--plain"
    )
