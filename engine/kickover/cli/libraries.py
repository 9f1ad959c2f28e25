"""The library that a command works with: overlays laid over it, by way of the cache on this computer."""

from __future__ import annotations

from pathlib import Path

import click

from kickover.api import Loaded, load
from kickover.cli.options import OVERLAYS
from kickover.cli.places import cache_folder


def open_library(library: Path | None) -> Loaded:
    """Open the library that `--library` names, or the shipped one, with what `--overlay` lays over it."""
    context = click.get_current_context(silent=True)
    overlays: tuple[Path, ...] = context.meta.get(OVERLAYS, ()) if context else ()
    return load(library, overlays, cache_folder())
