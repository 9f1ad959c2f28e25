"""The yard library in a folder, and a home of its own for each test."""

from __future__ import annotations

from pathlib import Path

import pytest

from walk.yard_library import write_yard


@pytest.fixture(scope="session")
def yard_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the yard library."""
    return write_yard(tmp_path_factory.mktemp("yard"))


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where the program keeps what is the person's."""
    monkeypatch.setenv("KICKOVER_HOME", str(tmp_path / "home"))
    return tmp_path / "home"
