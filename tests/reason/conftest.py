"""The tiny library and the shipped one, loaded once for all tests of the reasoning."""

from __future__ import annotations

from pathlib import Path

import pytest

from kickover.library import load_or_raise, shipped_folder
from kickover.library.model import Library
from library.base_library import base_library


@pytest.fixture(scope="session")
def tiny(tmp_path_factory: pytest.TempPathFactory) -> Library:
    """Two faults of an invented moped: see tests/library/base_library.py."""
    folder: Path = tmp_path_factory.mktemp("tiny")
    return base_library(folder)


@pytest.fixture(scope="session")
def shipped() -> Library:
    """The shipped library."""
    return load_or_raise(shipped_folder())
