"""From authored YAML to a library: lines, form, values, references, meaning (`validate`), and a cache."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kickover.authoring.files import content_version, shipped_folder
    from kickover.authoring.loading import load_kit, load_library, load_machine, load_or_raise

__all__ = [
    "content_version",
    "load_kit",
    "load_library",
    "load_machine",
    "load_or_raise",
    "shipped_folder",
]

_FILES = frozenset({"content_version", "shipped_folder"})


def __getattr__(name: str) -> object:
    """Import the readers when they are first asked for: most starts need only the model."""
    if name in __all__:
        return getattr(import_module(f"{__name__}.{'files' if name in _FILES else 'loading'}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
