"""A desk for each session."""

from __future__ import annotations

from pathlib import Path

import pytest

from roles.desk import Desk


@pytest.fixture
def desk(home: Path, tmp_path: Path) -> Desk:
    """An empty folder, and nothing kept from before."""
    folder = tmp_path / "desk"
    folder.mkdir()
    return Desk(folder)
