"""The small libraries of the tests and the shipped one, each read once; a home of its own for each test."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from unittest import mock

import pytest

import kickover.api
from kickover.api import Loaded
from kickover.authoring import content_version, shipped_folder
from kickover.authoring.cache import load_cached
from kickover.model.library import Library
from worlds import shipped_library
from worlds.tiny_library import base_library
from worlds.yard_library import write_yard, yard_library


@pytest.fixture(scope="session", autouse=True)
def _each_library_read_once() -> Iterator[None]:
    """Commands that are run in this process share what the first of them read.

    A library is a value; it is read again when its files change. How the program's own cache behaves is the
    matter of `authoring/test_cache.py`, which does not go this way.
    """
    known: dict[tuple[tuple[Path, str], ...], Library] = {}

    def load_once(folder: Path, cache: Path, *, overlays: Sequence[Path] = ()) -> Library:
        if not overlays and folder == shipped_folder():
            return shipped_library.shipped()
        key = tuple((one.absolute(), content_version(one)) for one in (folder, *overlays))
        if key not in known:
            known[key] = load_cached(folder, cache, overlays=overlays)
        return known[key]

    with mock.patch.object(kickover.api, "load_cached", load_once):
        yield


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
def loaded() -> Loaded:
    """The shipped library as a program holds it."""
    return shipped_library.loaded()


@pytest.fixture(scope="session")
def shipped() -> Library:
    """The shipped library."""
    return shipped_library.shipped()


@pytest.fixture(scope="session")
def read_before(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder in which the program kept the shipped library, for the cache of processes that are started."""
    cache = tmp_path_factory.mktemp("read") / "cache"
    load_cached(shipped_folder(), cache)
    return cache


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where the program keeps what is the person's."""
    monkeypatch.setenv("KICKOVER_HOME", str(tmp_path / "home"))
    return tmp_path / "home"
