"""The yard library and the shipped one, loaded once for all tests of the walk."""

from __future__ import annotations

from pathlib import Path

import pytest

from kickover.library import load_or_raise, shipped_folder
from kickover.library.model import Library
from walk.yard_library import write_yard, yard_library


@pytest.fixture(scope="session")
def yard_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the yard library."""
    return write_yard(tmp_path_factory.mktemp("yard"))


@pytest.fixture(scope="session")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Library:
    """Fourteen faults of invented machines: see yard_library.py."""
    return yard_library(tmp_path_factory.mktemp("yard"))


@pytest.fixture(scope="session")
def shipped() -> Library:
    """The shipped library."""
    return load_or_raise(shipped_folder())
