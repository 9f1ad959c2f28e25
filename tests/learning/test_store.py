"""A file of cases keeps what it was given, whatever happens beside it."""

from __future__ import annotations

import shutil
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kickover.learning.case import Case, Confirmed
from kickover.learning.rows import Wanted
from kickover.learning.store import APPLICATION, VERSIONS, StoreError, opened
from learning.tables import WET, cases

WRITER = Path(__file__).with_name("writer.py")

WRITTEN_BY_VERSION_1 = """
BEGIN TRANSACTION;
CREATE TABLE cases (
    number INTEGER PRIMARY KEY,
    id TEXT NOT NULL UNIQUE,
    date TEXT NOT NULL,
    machine TEXT NOT NULL,
    complaints TEXT NOT NULL,
    given TEXT NOT NULL,
    causes TEXT NOT NULL,
    minutes REAL,
    library TEXT NOT NULL
);
INSERT INTO "cases" VALUES(1,'20260301-hill-run','2026-03-01','moped','will-not-start','engine-cold','plug-fouled',24.5,'1.0+abc');
INSERT INTO "cases" VALUES(2,'20260314-two','2026-03-14','moped','will-not-start','','rings-worn/plug-fouled+switch-shorted',NULL,'');
CREATE TABLE seen (
    number INTEGER NOT NULL REFERENCES cases (number) ON DELETE CASCADE,
    place INTEGER NOT NULL,
    check_id TEXT NOT NULL,
    weights TEXT NOT NULL,
    PRIMARY KEY (number, place)
) WITHOUT ROWID;
INSERT INTO "seen" VALUES(1,0,'spark-at-plug','none');
INSERT INTO "seen" VALUES(1,1,'compression','low:0.25,good:0.75');
COMMIT;
PRAGMA application_id = 1263092555;
PRAGMA user_version = 1;
"""  # noqa: E501 - as it was dumped


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "cases.sqlite"


def ids_in(file: Path) -> list[str]:
    with opened(file) as store:
        return [case.id for case in store.stream()]


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=15, deadline=None)
@given(st.lists(cases, max_size=5, unique_by=lambda case: case.id))
def test_cases_come_back_as_they_were_added(file: Path, some: list[Case]) -> None:
    file.unlink(missing_ok=True)
    with opened(file) as store:
        assert store.add(some) == ()
    with opened(file) as store:
        assert list(store.stream()) == some


def test_a_case_that_is_there_is_left_out_and_named(file: Path) -> None:
    other = replace(WET, id="other")
    with opened(file) as store:
        store.add([WET])
        assert store.add([other, WET]) == (1,)
        assert store.count() == 2


def test_a_case_is_taken_out_with_its_checks(file: Path) -> None:
    with opened(file) as store:
        store.add([WET])
        assert store.remove(WET.id)
        assert not store.remove(WET.id)
        store.add([WET])
        assert store.find(WET.id) == WET


def test_a_batch_that_fails_leaves_nothing_behind(file: Path) -> None:
    def some() -> Iterator[Case]:
        yield WET
        raise RuntimeError("the source ran dry")

    with opened(file) as store:
        with pytest.raises(RuntimeError):
            store.add(some())
        assert store.count() == 0
        store.add([WET])
    assert ids_in(file) == [WET.id]


@pytest.mark.parametrize(
    ("wanted", "found"),
    [
        (Wanted(), ["a", "b", "c"]),
        (Wanted(machine="moped"), ["a", "c"]),
        (Wanted(cause="plug"), ["b"]),
        (Wanted(cause="plug-fouled"), ["a", "c"]),
        (Wanted(complaint="smokes"), ["c"]),
        (Wanted(check="compression"), ["a", "b"]),
        (Wanted(since="2026-03-02"), ["b", "c"]),
        (Wanted(until="2026-03-02"), ["a", "b"]),
        (Wanted(since="2026-03-02", machine="moped"), ["c"]),
        (Wanted(latest=2), ["b", "c"]),
        (Wanted(machine="moped", latest=1), ["c"]),
        (Wanted(id="b"), ["b"]),
        (Wanted(machine="' OR 1=1 --"), []),
    ],
)
def test_cases_are_found_by_what_is_wanted(file: Path, wanted: Wanted, found: list[str]) -> None:
    with opened(file) as store:
        store.add(
            [
                replace(WET, id="a"),
                replace(WET, id="b", machine="step", date="2026-03-02", causes=(("plug",),)),
                replace(WET, id="c", date="2026-03-03", complaints=("bogs", "smokes"), seen=(),
                        causes=(("jet",), ("plug-fouled", "rings"))),
            ]
        )  # fmt: skip
        assert [case.id for case in store.stream(wanted)] == found


def test_a_file_of_version_1_becomes_one_of_this_version_without_loss(file: Path) -> None:
    old = sqlite3.connect(file)
    old.executescript(WRITTEN_BY_VERSION_1)
    old.close()
    with opened(file) as store:
        first, second = store.stream()
        assert first == replace(
            WET,
            confirmed=Confirmed.SEEN,
            repair="",
            seen=tuple(replace(one, measured=None, state=None) for one in WET.seen),
        )
        assert second.causes == (("rings-worn",), ("plug-fouled", "switch-shorted"))
        assert second.minutes is None
        assert store.add([replace(WET, id="new")]) == ()
    assert version_of(file) == len(VERSIONS)


def test_a_migration_that_is_cut_short_leaves_the_old_file(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    old = sqlite3.connect(file)
    old.executescript(WRITTEN_BY_VERSION_1)
    old.close()
    monkeypatch.setattr("kickover.learning.store.VERSIONS", (*VERSIONS, "SELECT no_such_column FROM cases"))
    with pytest.raises(StoreError), opened(file):
        pass
    assert version_of(file) == 1
    monkeypatch.undo()
    assert ids_in(file) == ["20260301-hill-run", "20260314-two"]


def test_a_file_of_a_later_version_is_left_alone(file: Path) -> None:
    with opened(file) as store:
        store.add([WET])
    later = sqlite3.connect(file)
    later.execute(f"PRAGMA user_version = {len(VERSIONS) + 1}")
    later.close()
    with pytest.raises(StoreError, match="written by a later kickover; update kickover"), opened(file):
        pass


def test_a_file_of_another_program_is_left_alone(file: Path) -> None:
    other = sqlite3.connect(file)
    other.execute("CREATE TABLE recipes (name TEXT)")
    other.close()
    before = file.read_bytes()
    with pytest.raises(StoreError, match="a file of some other program"), opened(file):
        pass
    assert file.read_bytes() == before


def test_a_file_that_is_no_database_is_said_to_be_none(file: Path) -> None:
    file.write_text("eggs, flour, milk\n" * 100)
    with pytest.raises(StoreError, match="this is no file of cases; name another file"), opened(file):
        pass


def test_two_processes_that_write_at_once_lose_nothing(file: Path) -> None:
    names = ("one", "two", "three")
    writers = [start(file, name, 60) for name in names]
    ended = [writer.communicate()[1] for writer in writers]
    assert ended == ["", "", ""]
    expected = sorted(f"{name}-{place}" for name in names for place in range(60))
    assert sorted(ids_in(file)) == expected


def test_reading_goes_on_undisturbed_while_another_process_writes(file: Path) -> None:
    with opened(file) as store:
        store.add(replace(WET, id=str(place)) for place in range(50))
        reading = store.stream()
        first = next(reading)
        assert start(file, "other", 5).communicate()[1] == ""
        assert [first.id, *(case.id for case in reading)] == [str(place) for place in range(50)]
        assert store.count() == 55


@pytest.mark.parametrize("after", [1, 7, 40])
def test_a_killed_process_loses_nothing_that_it_had_confirmed(file: Path, after: int) -> None:
    writer = start(file, "doomed", 100_000)
    assert writer.stdout is not None
    confirmed = [writer.stdout.readline().strip() for _ in range(after)]
    writer.send_signal(signal.SIGKILL)
    confirmed += writer.communicate()[0].split()
    found = ids_in(file)
    assert found[: len(confirmed)] == [f"doomed-{place}" for place in confirmed]
    assert len(found) <= len(confirmed) + 1
    with opened(file) as store:
        assert store.add([WET]) == ()


def test_a_full_file_refuses_the_batch_and_keeps_what_is_there(file: Path) -> None:
    with opened(file) as store:
        store.add([WET])
        pages = store._connection.execute("PRAGMA page_count").fetchone()[0]
        store._connection.execute(f"PRAGMA max_page_count = {pages + 2}")
        with pytest.raises(StoreError, match="no room on the disk, nothing was added; make room"):
            store.add(replace(WET, id=str(place)) for place in range(10_000))
        assert store.count() == 1
    assert ids_in(file) == [WET.id]


def test_a_full_disk_refuses_the_batch_and_keeps_what_is_there(tmp_path: Path) -> None:
    disk = tmp_path / "disk"
    disk.mkdir()
    mount = shutil.which("mount")
    if (
        mount is None
        or subprocess.run(
            [mount, "-t", "tmpfs", "-o", "size=256k", "tmpfs", str(disk)], capture_output=True, check=False
        ).returncode
    ):
        pytest.skip("a small disk cannot be mounted here")
    try:
        with opened(disk / "cases.sqlite") as store:
            store.add([WET])
            with pytest.raises(StoreError, match="make room"):
                store.add(replace(WET, id=str(place)) for place in range(10_000))
            assert [case.id for case in store.stream()] == [WET.id]
        assert ids_in(disk / "cases.sqlite") == [WET.id]
    finally:
        subprocess.run(["umount", str(disk)], check=True)


def start(file: Path, name: str, number: int) -> subprocess.Popen[str]:
    """Start a process that adds so many cases, one at a time."""
    return subprocess.Popen(
        [sys.executable, str(WRITER), str(file), name, str(number)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def version_of(file: Path) -> int:
    connection = sqlite3.connect(file)
    try:
        assert connection.execute("PRAGMA application_id").fetchone()[0] == APPLICATION
        return int(connection.execute("PRAGMA user_version").fetchone()[0])
    finally:
        connection.close()
