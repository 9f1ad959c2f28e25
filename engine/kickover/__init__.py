"""Kickover finds out, one question at a time, why a small engine will not start, and gets it running."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kickover.api import Loaded, Walk, load

__all__ = ["Loaded", "Walk", "load"]


def __getattr__(name: str) -> object:
    """Import the Python interface when it is first asked for: commands that do not need it start faster."""
    if name in __all__:
        return getattr(import_module("kickover.api"), name)
    raise AttributeError(f"module 'kickover' has no attribute {name!r}")
