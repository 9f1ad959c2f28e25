"""What a command found, printed: as lines for people, or as JSON for programs."""

from __future__ import annotations

import json
import shutil
import sys
import textwrap
from collections.abc import Iterable
from datetime import date

import click

from kickover.cli.context import keep, kept
from kickover.core.screening import screened

json_option = click.option(
    "--json", expose_value=False, callback=keep, is_flag=True, help="Print JSON, for programs."
)


def answer(data: object, lines: Iterable[str]) -> int:
    """Print what a command found: data as JSON where `--json` is given, else lines. Gives the exit code 0."""
    if json_wanted():
        print_json(data)
    elif sys.stdout.isatty():
        _show(list(lines))
    else:
        for line in lines:
            click.echo(line)
    return 0


def _show(lines: list[str]) -> None:
    """Print lines on a terminal; what is longer than it goes through a pager, which passes no gate."""
    text = "".join(f"{line}\n" for line in lines)
    wide, high = shutil.get_terminal_size()
    rows = sum(1 + len(line) // wide for line in text.splitlines())
    if rows < high:
        click.echo(text, nl=False)
    else:
        click.echo_via_pager(screened(text))


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
