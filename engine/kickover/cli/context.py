"""What every command works with, opened in one place: library, overlays, machines, folders, time.

The ways out of the program begin here too: where a person's files are, and what time it is there.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from datetime import date, datetime
from pathlib import Path
from typing import Any

import click
import platformdirs

from kickover.api import Loaded, load


def keep(context: click.Context, option: click.Parameter, value: Any) -> None:
    """Keep the value of an option that every command takes in the context of the command line."""
    context.meta[f"kickover.{option.name}"] = value


def kept(name: str, context: click.Context | None = None) -> Any:
    """The value of an option that every command takes; None where it is not given."""
    context = context or click.get_current_context(silent=True)
    return context.meta.get(f"kickover.{name}") if context else None


def open_library(library: Path | None = None, overlays: Sequence[str | Path] | None = None) -> Loaded:
    """Open `library` or what `--library` names, or the shipped one, with `overlays` or those of `--overlay`.

    It knows the machines of one's own, and is read by way of the cache on this computer.
    """
    if overlays is None:
        overlays = kept("overlay") or ()
    return load(library or kept("library"), overlays, cache_folder(), machines_folder())


def _place(kind: str, *names: str) -> Callable[[], Path]:
    """Where something of a person's own is kept: KICKOVER_HOME, or the user's folder of that kind."""

    def place() -> Path:
        home = os.environ.get("KICKOVER_HOME")
        usual = getattr(platformdirs, f"user_{kind}_dir")
        return (Path(home).expanduser() if home else Path(usual("kickover"))).joinpath(*names)

    return place


walks_folder = _place("state", "walks")
"""Where journals are kept."""

machines_folder = _place("data", "machines")
"""Where machines of one's own are kept."""

cases_file = _place("data", "cases.sqlite")
"""Where closed cases are kept."""

service_folder = _place("data", "service")
"""Where the service logs of machines are kept, a file each."""

learners_folder = _place("data", "learners")
"""Where results of drills are kept."""

cache_folder = _place("cache", "cache")
"""Where libraries are kept once they were found sound."""

settings_file = _place("config", "settings.toml")
"""Where a person's settings are kept."""

faults_file = _place("state", "faults.log")
"""Where faults of the program itself are logged."""


def now() -> str:
    """The present moment, local time with its offset, to the second."""
    return datetime.now().astimezone().isoformat(timespec="seconds")


def today() -> date:
    """The date on the wall."""
    return date.today()
