"""Options that several commands share, and how they print data."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

F = TypeVar("F", bound=Callable[..., Any])


OVERLAYS = "kickover.overlays"
"""Where a command keeps the overlays that were named, in its context."""


def library_option(command: F) -> F:
    """Add `--library DIR`, and `--overlay FILE` as often as wanted."""
    overlay = click.option(
        "--overlay",
        multiple=True,
        expose_value=False,
        callback=_keep_overlays,
        type=click.Path(exists=True, path_type=Path),
        help="A file or folder laid over the library, such as learned rates.",
    )
    library = click.option(
        "--library",
        type=click.Path(exists=True, file_okay=False, path_type=Path),
        help="A folder of faults to use instead of the shipped one.",
    )
    return library(overlay(command))


def _keep_overlays(context: click.Context, _option: click.Parameter, overlays: tuple[Path, ...]) -> None:
    context.meta[OVERLAYS] = overlays


def json_option(command: F) -> F:
    """Add `--json`."""
    return click.option("--json", "as_json", is_flag=True, help="Print JSON.")(command)


def print_json(data: object) -> None:
    """Print data as JSON on standard output."""
    click.echo(json.dumps(data, ensure_ascii=False, indent=2))
