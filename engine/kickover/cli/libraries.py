"""The library that a command works with, by way of the cache on this computer."""

from __future__ import annotations

from pathlib import Path

from kickover.api import Loaded, load
from kickover.cli.places import cache_folder


def open_library(library: Path | None) -> Loaded:
    """Open the library that `--library` names, or the shipped one."""
    return load(library, cache=cache_folder())
