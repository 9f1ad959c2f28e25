"""Long output on a terminal goes through a pager; short output, and output elsewhere, does not."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pexpect
import pytest

COMMAND = [sys.executable, "-m", "kickover", "figure"]


@pytest.fixture
def paged(tmp_path: Path) -> dict[str, str]:
    """An environment whose pager puts a sign before each line."""
    pager = "sed s/^/paged:/"
    real = {name: value for name, value in os.environ.items() if name not in {"LINES", "COLUMNS"}}
    return {**real, "KICKOVER_HOME": str(tmp_path), "PAGER": pager, "TERM": "xterm"}


def on_a_terminal(environment: dict[str, str], *words: str, high: int = 24) -> list[str]:
    child = pexpect.spawn(
        COMMAND[0],
        [*COMMAND[1:], *words],
        env=environment,
        dimensions=(high, 80),
        encoding="utf-8",
        timeout=120,
    )
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 0
    return str(child.before).splitlines()


def test_long_output_is_paged_on_a_terminal_alone(paged: dict[str, str]) -> None:
    shown = on_a_terminal(paged)
    assert len(shown) > 24
    assert all(line.startswith("paged:") for line in shown if line.strip())
    piped = subprocess.run(COMMAND, env=paged, capture_output=True, text=True, check=True).stdout
    assert "paged:" not in piped
    assert "cranking-pressure" in piped


def test_what_fits_the_terminal_is_shown_at_once(paged: dict[str, str]) -> None:
    shown = on_a_terminal(paged, "premix", "ratio=25", "fuel=5 L")
    assert len(shown) < 24
    assert not any("paged:" in line for line in shown)
    assert any("paged:" in line for line in on_a_terminal(paged, "premix", "ratio=25", "fuel=5 L", high=5))
