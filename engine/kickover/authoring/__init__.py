"""From authored YAML to a library: lines, form, values, references, meaning (`validate`), and a cache."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kickover.authoring.files import content_version, shipped_folder
    from kickover.authoring.loading import load_library, load_or_raise
    from kickover.authoring.profiles import load_kit, load_machine, read_machine

__all__ = [
    "content_version",
    "load_kit",
    "load_library",
    "load_machine",
    "load_or_raise",
    "read_machine",
    "shipped_folder",
]

_ROOMS = {
    "content_version": "files",
    "shipped_folder": "files",
    "load_library": "loading",
    "load_or_raise": "loading",
}
"""In which module a name is; in `profiles` when it is not here."""


def __getattr__(name: str) -> object:
    """Import the readers when they are first asked for: most starts find their library in the cache."""
    if name in __all__:
        return getattr(import_module(f"{__name__}.{_ROOMS.get(name, 'profiles')}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
