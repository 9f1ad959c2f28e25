"""Options that several commands share, and how they print data."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

F = TypeVar("F", bound=Callable[..., Any])


def library_option(command: F) -> F:
    """Add `--library DIR`."""
    return click.option(
        "--library",
        type=click.Path(exists=True, file_okay=False, path_type=Path),
        help="A folder of faults to use instead of the shipped one.",
    )(command)


def json_option(command: F) -> F:
    """Add `--json`."""
    return click.option("--json", "as_json", is_flag=True, help="Print JSON.")(command)


def print_json(data: object) -> None:
    """Print data as JSON on standard output."""
    click.echo(json.dumps(data, ensure_ascii=False, indent=2))
