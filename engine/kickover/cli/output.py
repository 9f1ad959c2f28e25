"""What a command found, printed: as lines for people, or as JSON for programs."""

from __future__ import annotations

import json
import shutil
import textwrap
from collections.abc import Iterable
from datetime import date

import click

from kickover.cli.context import keep, kept

json_option = click.option(
    "--json", expose_value=False, callback=keep, is_flag=True, help="Print JSON, for programs."
)


def answer(data: object, lines: Iterable[str]) -> int:
    """Print what a command found: data as JSON where `--json` is given, else lines. Gives the exit code 0."""
    if json_wanted():
        print_json(data)
    else:
        for line in lines:
            click.echo(line)
    return 0


def json_wanted() -> bool:
    """Whether `--json` is given."""
    return bool(kept("json"))


def print_json(data: object) -> None:
    """Print data as JSON on standard output."""
    click.echo(json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False, default=date.isoformat))


def folded(text: str, indent: str) -> list[str]:
    """Text as lines that fit the terminal, or 80 columns where there is none, hung below its first word."""
    width = min(max(shutil.get_terminal_size().columns, 40), 100) - 1
    return textwrap.wrap(
        text, width, initial_indent=indent, subsequent_indent=indent + "  ", break_on_hyphens=False
    )
