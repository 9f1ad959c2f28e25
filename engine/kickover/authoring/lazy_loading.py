"""The way to read YAML for those who mostly need not.

Reading and reviewing authored files is the slow half of this package; most starts find their library in
the cache. So that half is imported here when it is first needed, and nowhere else.
"""

from __future__ import annotations

from collections.abc import Sequence
from importlib import import_module
from pathlib import Path
from typing import Any

from kickover.model.library import Kit, Library, Machine


def load_or_raise(folder: Path, *, overlays: Sequence[Path] = ()) -> Library:
    """Load a library. Raises LibraryError with every problem of it."""
    library: Library = _reader("loading").load_or_raise(folder, overlays=overlays)
    return library


def load_machine(path: Path, library: Library) -> Machine:
    """Load a machine from a file of its own. Raises LibraryError with every problem of it."""
    machine: Machine = _reader("profiles").load_machine(path, library)
    return machine


def load_kit(path: Path, library: Library) -> Kit:
    """Load a kit from a file of its own. Raises LibraryError with every problem of it."""
    kit: Kit = _reader("profiles").load_kit(path, library)
    return kit


def machine_or_none(path: Path, library: Library) -> Machine | None:
    """Load a machine from a file of its own, or None when it has problems."""
    machine: Machine | None = _reader("profiles").read_machine(path, library)[0]
    return machine


def _reader(name: str) -> Any:
    return import_module(f"kickover.authoring.{name}")
