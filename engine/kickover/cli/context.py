"""What every command works with, opened in one place: library, overlays, machines, folders, output.

The ways out of the program begin here too: where a person's files are, and what time it is there.
"""

from __future__ import annotations

import json
import os
import shutil
import textwrap
from collections.abc import Callable, Sequence
from datetime import date, datetime
from math import isfinite
from pathlib import Path
from typing import Any, TypeVar

import click
import platformdirs

from kickover.api import Loaded, load
from kickover.units import QuantityError, parse

F = TypeVar("F", bound=Callable[..., Any])

MOST = 1e9
"""No option of a command means anything beyond this."""

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
        help="Learned rates: a file or folder with rates and error rates to be laid over the library.",
    )
    library = click.option(
        "--library",
        type=click.Path(exists=True, file_okay=False, path_type=Path),
        help="A folder of faults to use instead of the shipped one.",
    )
    return library(overlay(command))


def _keep_overlays(context: click.Context, _option: click.Parameter, overlays: tuple[Path, ...]) -> None:
    context.meta[OVERLAYS] = overlays


class FiniteRange(click.FloatRange):
    """A number of an option: finite, and in its range. Whatever else is typed is wrong usage."""

    name = "number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """Read the number; BadParameter for one that is not finite, too large, or out of range."""
        number = super().convert(value, param, ctx)
        if not isfinite(number) or abs(number) > MOST:
            self.fail(f"{value!r} is no number to work with; write one up to {MOST:g}", param, ctx)
        return float(number)


class AmountIn(FiniteRange):
    """An amount of an option, none or more, in a unit: a bare number, or with a unit, `1.5 kg`."""

    def __init__(self, unit: str) -> None:
        super().__init__(min=0)
        self.unit = unit

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """Read the amount; BadParameter for one that cannot be read or is out of range."""
        try:
            number = parse(str(value), default_unit=self.unit).within(self.unit)
        except QuantityError as error:
            self.fail(str(error), param, ctx)
        return super().convert(number, param, ctx)


def json_option(command: F) -> F:
    """Add `--json`."""
    return click.option("--json", "as_json", is_flag=True, help="Print JSON.")(command)


def print_json(data: object) -> None:
    """Print data as JSON on standard output."""
    click.echo(json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False))


def folded(text: str, indent: str) -> list[str]:
    """Text as lines that fit the terminal, or 80 columns where there is none, hung below its first word."""
    width = min(max(shutil.get_terminal_size().columns, 40), 100) - 1
    return textwrap.wrap(
        text, width, initial_indent=indent, subsequent_indent=indent + "  ", break_on_hyphens=False
    )


def open_library(library: Path | None, overlays: Sequence[str | Path] | None = None) -> Loaded:
    """Open the library that `--library` names, or the shipped one, with `overlays` or those of `--overlay`.

    It knows the machines of one's own, and is read by way of the cache on this computer.
    """
    if overlays is None:
        overlays = overlays_named()
    return load(library, overlays, cache_folder(), machines_folder())


def overlays_named() -> tuple[Path, ...]:
    """What `--overlay` names on this command line."""
    context = click.get_current_context(silent=True)
    return context.meta.get(OVERLAYS, ()) if context else ()


def form_of(file: Path, forms: tuple[str, ...]) -> str:
    """The format that a file's name asks for. Raises UsageError when it is none of `forms`."""
    form = file.suffix.lower().removeprefix(".")
    if form not in forms:
        endings = ", ".join(f".{one}" for one in forms)
        raise click.UsageError(f"{file}: cannot tell what to draw; end its name in one of {endings}")
    return form


def walks_folder() -> Path:
    """Where journals are kept: KICKOVER_HOME, or the user's state folder."""
    return (_home() or Path(platformdirs.user_state_dir("kickover"))) / "walks"


def machines_folder() -> Path:
    """Where machines of one's own are kept: KICKOVER_HOME, or the user's data folder."""
    return (_home() or Path(platformdirs.user_data_dir("kickover"))) / "machines"


def cases_file() -> Path:
    """Where closed cases are kept: KICKOVER_HOME, or the user's data folder."""
    return (_home() or Path(platformdirs.user_data_dir("kickover"))) / "cases.sqlite"


def service_log_file(machine: str) -> Path:
    """Where the service log of a machine is kept: KICKOVER_HOME, or the user's data folder."""
    return (_home() or Path(platformdirs.user_data_dir("kickover"))) / "service" / f"{machine}.jsonl"


def learners_folder() -> Path:
    """Where results of drills are kept: KICKOVER_HOME, or the user's data folder."""
    return (_home() or Path(platformdirs.user_data_dir("kickover"))) / "learners"


def cache_folder() -> Path:
    """Where libraries are kept once they were found sound: KICKOVER_HOME, or the user's cache folder."""
    return (_home() or Path(platformdirs.user_cache_dir("kickover"))) / "cache"


def settings_file() -> Path:
    """Where a person's settings are kept: KICKOVER_HOME, or the user's folder for them."""
    return (_home() or Path(platformdirs.user_config_dir("kickover"))) / "settings.toml"


def faults_file() -> Path:
    """Where faults of the program itself are logged: KICKOVER_HOME, or the user's state folder."""
    return (_home() or Path(platformdirs.user_state_dir("kickover"))) / "faults.log"


def now() -> str:
    """The present moment, local time with its offset, to the second."""
    return datetime.now().astimezone().isoformat(timespec="seconds")


def today() -> date:
    """The date on the wall."""
    return date.today()


def _home() -> Path | None:
    home = os.environ.get("KICKOVER_HOME")
    return Path(home).expanduser() if home else None
