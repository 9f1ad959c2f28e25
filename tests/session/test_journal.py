"""The journal on disk: what a crash, a full disk, a second window or an old library can do to it."""

from __future__ import annotations

import json
import os
from dataclasses import asdict, replace
from pathlib import Path
from tempfile import TemporaryDirectory
from zlib import crc32

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kickover.inference.soft_evidence import Sureness
from kickover.session.entries import (
    Answered,
    Cannot,
    Chose,
    Entry,
    EntryError,
    GaveUp,
    Measured,
    Noted,
    Prepared,
    Proved,
    Repaired,
    Skipped,
    Waited,
    from_data,
    to_data,
)
from kickover.session.journal import Heading, JournalError, delete, journals, read, reopen, start

HEADING = Heading("one", "2026-03-01T10:00", "Yard", "1", "moped", ("dies",), (), "pouch", None, None)
EVERY_KIND: tuple[Entry, ...] = (
    Answered("plug", "wet", Sureness.GUESS, "engine-hot"),
    Measured("ohms", 1.5, 2.5, Sureness.FAIRLY),
    Skipped("plug"),
    Cannot("plug-out", "plug"),
    Chose("plug"),
    Prepared("plug-out", undone=True),
    Waited("engine-cold", told=True),
    Repaired("new-plug"),
    Proved(gone=False),
    Noted('smells of fuel, 20 °C \\ " 🙂'),
    GaveUp(),
)
FIRST, SECOND, THIRD = EVERY_KIND[0], EVERY_KIND[1], EVERY_KIND[2]


def clock() -> str:
    return "2026-03-01T10:01"


def written(folder: Path, *states: tuple[Entry, ...]) -> Path:
    """A journal that was brought from each state to the next."""
    with start(folder, HEADING, clock) as journal:
        before: tuple[Entry, ...] = ()
        for after in states:
            journal.keep(before, after)
            before = after
    return folder / "one.walk"


def kept(path: Path) -> tuple[Entry, ...]:
    return tuple(stamped.entry for stamped in read(path).entries)


def test_what_is_kept_is_read_back_with_its_time(tmp_path: Path) -> None:
    path = written(tmp_path, *(EVERY_KIND[: count + 1] for count in range(len(EVERY_KIND))))
    record = read(path)
    assert kept(path) == EVERY_KIND
    assert record.heading == HEADING
    assert {stamped.at for stamped in record.entries} == {clock()}
    assert (record.damage, record.closed) == ("", "")


@settings(max_examples=60, deadline=None)
@given(st.lists(st.lists(st.sampled_from(EVERY_KIND), max_size=5).map(tuple), max_size=6))
def test_any_change_of_a_walk_is_kept_in_one_line_or_none(states: list[tuple[Entry, ...]]) -> None:
    with TemporaryDirectory() as folder:
        path = written(Path(folder), *states)
        assert kept(path) == (states[-1] if states else ())
        assert path.read_bytes().count(b"\n") <= 1 + len(states)


@pytest.mark.parametrize("entry", EVERY_KIND, ids=lambda entry: type(entry).__name__)
def test_every_kind_of_entry_survives_plain_data(entry: Entry) -> None:
    assert from_data(json.loads(json.dumps(to_data(entry)))) == entry


@pytest.mark.parametrize(
    "data",
    [
        {},
        {"what": "danced"},
        {"what": "answered", "check": "plug"},
        {"what": "answered", "check": "plug", "finding": "wet", "sureness": "very"},
        {"what": "answered", "check": ["plug"], "finding": "wet"},
        {"what": "measured", "check": "plug", "low": "1", "high": 2},
        {"what": "measured", "check": "plug", "low": float("nan"), "high": 2},
        {"what": "proved", "gone": "yes"},
    ],
)
def test_plain_data_that_is_no_entry_is_refused(data: dict[str, object]) -> None:
    with pytest.raises(EntryError):
        from_data(data)


def test_a_line_that_was_being_written_is_left_out_and_told(tmp_path: Path) -> None:
    path = written(tmp_path, (FIRST,), (FIRST, SECOND))
    whole = path.read_bytes()
    last = whole.rstrip(b"\n").rfind(b"\n") + 1
    for end in range(last + 1, len(whole)):
        path.write_bytes(whole[:end])
        assert kept(path) == (FIRST,)
        assert "line 3 was not finished" in read(path).damage


def test_after_a_torn_line_new_entries_follow_sound_ones(tmp_path: Path) -> None:
    path = written(tmp_path, (FIRST,), (FIRST, SECOND))
    path.write_bytes(path.read_bytes()[:-7])
    with reopen(path, clock) as (journal, record):
        assert "not finished" in record.damage
        journal.keep((FIRST,), (FIRST, THIRD))
    assert kept(path) == (FIRST, THIRD)
    assert read(path).damage == ""


def test_a_damaged_line_loses_that_line_alone(tmp_path: Path) -> None:
    path = written(tmp_path, (FIRST,), (FIRST, SECOND), (FIRST, SECOND, THIRD))
    lines = path.read_bytes().split(b"\n")
    lines[2] = lines[2].replace(b"1.5", b"9.5")
    path.write_bytes(b"\n".join(lines))
    assert kept(path) == (FIRST, THIRD)
    assert read(path).damage == "line 3 is damaged; left out"
    with reopen(path, clock) as (journal, _):
        journal.keep((FIRST, THIRD), (FIRST, THIRD, GaveUp()))
    assert kept(path) == (FIRST, THIRD, GaveUp())


def test_an_entry_of_a_later_version_is_left_out_and_told(tmp_path: Path) -> None:
    path = written(tmp_path, (FIRST,))
    text = b'{"at": "", "what": "sang"}'
    with path.open("ab") as file:
        file.write(b"%s %08x\n" % (text, crc32(text)))
    assert kept(path) == (FIRST,)
    assert "no entry is called 'sang'" in read(path).damage


@pytest.mark.parametrize("content", [b"", b"hello\n", b"\x00\xff\n\n", b'{"what": "heading"} 00000000\n'])
def test_a_file_that_is_no_journal_is_refused_in_words(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "odd.walk"
    path.write_bytes(content)
    with pytest.raises(JournalError, match="not the journal of a walk"):
        read(path)


def test_a_heading_that_lacks_something_says_what(tmp_path: Path) -> None:
    path = tmp_path / "odd.walk"
    text = b'{"what": "heading", "walk": "odd"}'
    path.write_bytes(b"%s %08x\n" % (text, crc32(text)))
    with pytest.raises(JournalError, match="the first line lacks 'started'"):
        read(path)


def test_a_walk_is_open_in_one_window_only(tmp_path: Path) -> None:
    path = written(tmp_path, (FIRST,))
    with (
        reopen(path, clock),
        pytest.raises(JournalError, match="open in another window"),
        reopen(path, clock),
    ):
        pytest.fail("a second window opened the walk")
    with reopen(path, clock) as (_, record):
        assert len(record.entries) == 1


def test_two_walks_at_once_do_not_harm_each_other(tmp_path: Path) -> None:
    with start(tmp_path, HEADING, clock) as one, start(tmp_path, replace(HEADING, walk="two"), clock) as two:
        one.keep((), (FIRST,))
        two.keep((), (SECOND,))
        one.keep((FIRST,), (FIRST, THIRD))
    assert kept(tmp_path / "one.walk") == (FIRST, THIRD)
    assert kept(tmp_path / "two.walk") == (SECOND,)
    assert [path.stem for path in journals(tmp_path)] == ["two", "one"]


def test_a_walk_never_overwrites_another_of_the_same_name(tmp_path: Path) -> None:
    written(tmp_path, (FIRST,))
    with pytest.raises(JournalError, match="cannot be saved here"), start(tmp_path, HEADING, clock):
        pass
    assert kept(tmp_path / "one.walk") == (FIRST,)


def full_after(monkeypatch: pytest.MonkeyPatch, room: int) -> None:
    """A disk that takes `room` more bytes and then no more."""
    left = room

    def write(descriptor: int, data: bytes) -> int:
        nonlocal left
        taken = min(left, len(data))
        if not taken:
            raise OSError(28, "No space left on device")
        left -= taken
        return os.pwrite(descriptor, data[:taken], os.fstat(descriptor).st_size)

    monkeypatch.setattr("kickover.session.journal.os.write", write)


@pytest.mark.parametrize("room", [0, 1, 30, 80])
def test_a_full_disk_is_told_and_leaves_what_was_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, room: int
) -> None:
    with start(tmp_path, HEADING, clock) as journal:
        journal.keep((), (FIRST,))
        with monkeypatch.context() as full:
            full_after(full, room)
            with pytest.raises(JournalError, match="No space left on device"):
                journal.keep((FIRST,), (FIRST, SECOND))
        assert kept(journal.path) == (FIRST,)
        assert read(journal.path).damage == ""
        journal.keep((FIRST,), (FIRST, SECOND))
        assert kept(journal.path) == (FIRST, SECOND)


def test_a_folder_that_cannot_be_written_is_told_with_the_way_out(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(JournalError, match="set KICKOVER_HOME"), start(tmp_path / "file", HEADING, clock):
        pass


def test_the_end_of_a_walk_is_kept_and_going_on_opens_it_again(tmp_path: Path) -> None:
    path = written(tmp_path, (FIRST, GaveUp()))
    with reopen(path, clock) as (journal, _):
        journal.write_closed("given-up")
    assert read(path).closed == "given-up"
    with reopen(path, clock) as (journal, _):
        journal.keep((FIRST, GaveUp()), (FIRST,))
    assert (read(path).closed, kept(path)) == ("", (FIRST,))


def test_no_folder_holds_no_journals(tmp_path: Path) -> None:
    assert journals(tmp_path / "nowhere") == ()


def sealed(data: dict[str, object]) -> bytes:
    """A line of a journal with a right checksum, whatever it says."""
    text = json.dumps(data).encode()
    return b"%s %08x\n" % (text, crc32(text))


@pytest.mark.parametrize("name", ["walk", "complaints", "items", "give_up", "profile", "kit", "given"])
@pytest.mark.parametrize("value", [7, [[1]], {"a": 1}, True, float("inf")])
def test_a_wrong_kind_under_a_right_checksum_is_refused_in_words(
    tmp_path: Path, name: str, value: object
) -> None:
    heading = {"what": "heading", **asdict(HEADING), name: value}
    path = tmp_path / "odd.walk"
    path.write_bytes(sealed(heading))
    if name == "give_up" and value == 7:
        assert read(path).heading.give_up == 7
    elif name == "profile" and isinstance(value, dict):
        assert read(path).heading.profile == value
    else:
        with pytest.raises(JournalError, match="delete this walk"):
            read(path)


def test_a_change_that_makes_no_sense_is_left_out_and_told(tmp_path: Path) -> None:
    path = tmp_path / "odd.walk"
    heading = sealed({"what": "heading", **asdict(HEADING)})
    path.write_bytes(heading + sealed({"what": "changed", "kept": "many", "entries": 3}))
    assert "cannot be understood" in read(path).damage


def test_a_pipe_a_device_and_a_link_are_no_walks(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.walk")
    (tmp_path / "zero.walk").symlink_to("/dev/zero")
    for path in tmp_path.iterdir():
        with pytest.raises(JournalError):
            read(path)
        delete(path)
    assert list(tmp_path.iterdir()) == []


def test_line_ends_and_marks_of_other_systems_are_understood(tmp_path: Path) -> None:
    with start(tmp_path, HEADING, clock) as journal:
        journal.keep((), (Skipped("a"),))
        path = journal.path
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n"))
    assert [stamped.entry for stamped in read(path).entries] == [Skipped("a")]


def test_a_walk_that_is_open_is_not_deleted_from_elsewhere(tmp_path: Path) -> None:
    with start(tmp_path, HEADING, clock) as journal:
        with pytest.raises(JournalError, match="open in another window"):
            delete(journal.path)
        assert journal.path.exists()


def test_a_lost_file_is_noticed_and_written_anew(tmp_path: Path) -> None:
    with start(tmp_path, HEADING, clock) as journal:
        journal.keep((), (Skipped("a"),))
        journal.path.unlink()
        assert journal.renewed()
        journal.keep((Skipped("a"),), (Skipped("a"), Skipped("b")))
        assert not journal.renewed()
        path = journal.path
    assert [stamped.entry for stamped in read(path).entries] == [Skipped("a"), Skipped("b")]
