"""The small libraries of the tests and the shipped one, loaded once; a home of its own for each test."""

from __future__ import annotations

from pathlib import Path

import pytest

from kickover.authoring import load_or_raise, shipped_folder
from kickover.model.library import Library
from worlds.tiny_library import base_library
from worlds.yard_library import write_yard, yard_library


@pytest.fixture(scope="session")
def tiny(tmp_path_factory: pytest.TempPathFactory) -> Library:
    """Two faults of an invented moped: see worlds/tiny_library.py."""
    return base_library(tmp_path_factory.mktemp("tiny"))


@pytest.fixture(scope="session")
def yard_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the yard library."""
    return write_yard(tmp_path_factory.mktemp("yard"))


@pytest.fixture(scope="session")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Library:
    """Fourteen faults of invented machines: see worlds/yard_library.py."""
    return yard_library(tmp_path_factory.mktemp("yard"))


@pytest.fixture(scope="session")
def shipped() -> Library:
    """The shipped library."""
    return load_or_raise(shipped_folder())


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where the program keeps what is the person's."""
    monkeypatch.setenv("KICKOVER_HOME", str(tmp_path / "home"))
    return tmp_path / "home"
