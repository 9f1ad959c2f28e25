"""The shipped library, read and reviewed once in each process of the tests."""

from __future__ import annotations

from functools import cache

import kickover
from kickover.api import Loaded
from kickover.model.library import Library


@cache
def loaded() -> Loaded:
    """The shipped library as a program holds it."""
    return kickover.load()


def shipped() -> Library:
    """The shipped library."""
    return loaded().library
