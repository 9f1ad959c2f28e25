"""Whatever lies in a file or is typed: each parser answers with a value or with what is wrong, in a line.

The files of `corpus/PARSER/` are read as they are, and then spoilt by a seeded loop: a few hundred times by
default, for about twenty seconds a parser in the slow part. A file in which a fault was found is put there.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Mapping
from datetime import date
from pathlib import Path
from zlib import crc32

import pytest

from kickover.api import load
from kickover.authoring.loading import load_library
from kickover.authoring.profiles import read_kit, read_machine
from kickover.authoring.source import read_document
from kickover.cli.cases import grounds_of
from kickover.cli.person_settings import read_settings
from kickover.core.problem import KickoverError
from kickover.learning.exchange import Form, read_lines
from kickover.learning.vetting import objections
from kickover.model.library import Library
from kickover.packing.service_log import read_log
from kickover.session import journal
from kickover.session.restoring import restored
from kickover.training import results
from kickover.units import parse, parse_range
from worlds.tiny_library import write_library

CORPUS = Path(__file__).parent / "corpus"
TODAY = date(2026, 11, 28)


class Place:
    """A folder for the file that is read, and the library that it speaks of."""

    def __init__(self, folder: Path, library: Library) -> None:
        self.folder, self.library = folder, library
        self.base = write_library(folder / "base")
        self.grounds = grounds_of(load(self.base))
        self.spoilt = write_library(folder / "spoilt")

    def file(self, name: str, raw: bytes) -> Path:
        path = self.folder / name
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(raw)
        return path


def read_yaml(raw: bytes, _place: Place) -> Iterator[str]:
    yield from map(str, read_document(raw, "any.yaml").problems)


def read_library(raw: bytes, place: Place) -> Iterator[str]:
    place.file("spoilt/tree.yaml", raw)
    yield from map(str, load_library(place.spoilt)[1])


def read_overlay(raw: bytes, place: Place) -> Iterator[str]:
    overlay = place.file("overlay.yaml", raw)
    yield from map(str, load_library(place.base, overlays=[overlay])[1])


def read_one_machine(raw: bytes, place: Place) -> Iterator[str]:
    yield from map(str, read_machine(place.file("machine.yaml", raw), place.library)[1])


def read_one_kit(raw: bytes, place: Place) -> Iterator[str]:
    yield from map(str, read_kit(place.file("kit.yaml", raw), place.library)[1])


def read_journal(raw: bytes, place: Place) -> Iterator[str]:
    record = journal.read(place.file("any.walk", raw))
    yield record.damage
    yield from restored(record, place.library).notes


def read_framed_journal(raw: bytes, place: Place) -> Iterator[str]:
    """Lines under the right checksums: what is wrong lies deeper."""
    lines = raw.split(b"\n")
    yield from read_journal(b"".join(b"%s %08x\n" % (line, crc32(line)) for line in lines if line), place)


def read_csv(raw: bytes, place: Place) -> Iterator[str]:
    yield from troubles_of(raw, Form.CSV, place)


def read_jsonl(raw: bytes, place: Place) -> Iterator[str]:
    yield from troubles_of(raw, Form.JSONL, place)


def troubles_of(raw: bytes, form: Form, place: Place) -> Iterator[str]:
    """What an import says of the lines of a file."""
    for row in read_lines(raw.decode("utf-8", "surrogateescape").split("\n"), form):
        yield row.trouble
        if row.case is not None:
            yield from map(str, objections(row.case, place.grounds, TODAY))


def read_readings(raw: bytes, _place: Place) -> Iterator[str]:
    for line in raw.decode("utf-8", "replace").split("\n"):
        for reader in (parse, parse_range):
            for unit in (None, "bar"):
                try:
                    reader(line, default_unit=unit)
                except KickoverError as error:
                    yield str(error)


def read_service_log(raw: bytes, place: Place) -> Iterator[str]:
    read_log(place.file("service.log", raw))
    yield ""


def read_results(raw: bytes, place: Place) -> Iterator[str]:
    kept = place.folder / "drills"
    kept.mkdir(exist_ok=True)
    place.file(f"drills/any{results.SUFFIX}", raw)
    yield from results.read(kept)[1]


def read_own_settings(raw: bytes, place: Place) -> Iterator[str]:
    read_settings(place.file("settings.toml", raw))
    yield ""


PARSERS: Mapping[str, tuple[Callable[[bytes, Place], Iterator[str]], int]] = {
    "yaml": (read_yaml, 150_000),
    "library": (read_library, 2_000),
    "overlay": (read_overlay, 1_500),
    "machine": (read_one_machine, 40_000),
    "kit": (read_one_kit, 8_000),
    "journal": (read_journal, 40_000),
    "journal-lines": (read_framed_journal, 6_000),
    "cases-csv": (read_csv, 100_000),
    "cases-jsonl": (read_jsonl, 100_000),
    "readings": (read_readings, 100_000),
    "service-log": (read_service_log, 20_000),
    "drill-results": (read_results, 20_000),
    "settings": (read_own_settings, 20_000),
}
"""By folder of the corpus: what reads it, and how many spoilt files take about twenty seconds."""

TOKENS = (
    *(b"\0", b"\xff", b"\xed\xa0\x80", b"\xe2\x80\xa8", b"\xe2\x80\xae", b"\x1b[31m", b"\r", b"\r\n", b"\n"),
    *(b"null", b"true", b"[]", b"{}", b'""', b"-1", b"0", b"1e400", b"NaN", b"Infinity", b"1" * 400, b"[1]"),
    *(b"[" * 2000, b'{"a":' * 2000, b"&a [*a]", b"*a", b"<<: ", b"!!python/none ", b"- ", b": ", b"'", b'"'),
    *(b",", b"=", b"+", b"/", b"\t", b"\xc2\xbd", b"\xd9\xa3", b"\xef\xbb\xbf", b"9" * 25, b"2026-02-30"),
)


def spoilt(raw: bytes, luck: random.Random) -> bytes:
    """Bytes with one to four slips: flipped, cut, doubled, swapped or put in."""
    for _ in range(luck.randint(1, 4)):
        start, end = sorted(luck.randrange(len(raw) + 1) for _ in range(2))
        end = min(end, start + 80)
        match luck.choice(("flip", "cut", "double", "swap", "put in", "replace", "end")):
            case "flip":
                raw = raw[:start] + bytes([luck.randrange(256)]) + raw[start + 1 :]
            case "cut":
                raw = raw[:start] + raw[end:]
            case "double":
                raw = raw[:end] + raw[start:end] + raw[end:]
            case "swap":
                words = raw.split(b" ")
                one, other = luck.randrange(len(words)), luck.randrange(len(words))
                words[one], words[other] = words[other], words[one]
                raw = b" ".join(words)
            case "put in":
                raw = raw[:start] + luck.choice(TOKENS) + raw[start:]
            case "replace":
                raw = raw[:start] + luck.choice(TOKENS) + raw[end:]
            case "end":
                raw = raw[:start]
    return raw


def answered(parser: str, raw: bytes, place: Place) -> bool:
    """Read; tell whether something was wrong. An AssertionError for an answer that cannot be shown."""
    try:
        said = [message for message in PARSERS[parser][0](raw, place) if message]
    except KickoverError as error:
        said = [str(error)]
        assert said[0]
    for message in said:
        assert "\n" not in message, f"more than a line: {message!r}"
        assert len(message) < 2_000, f"no line: {message[:100]!r}"
    return bool(said)


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory, yard: Library) -> Place:
    return Place(tmp_path_factory.mktemp("malformed"), yard)


def files_of(parser: str) -> list[Path]:
    return sorted((CORPUS / parser).iterdir())


def test_every_parser_has_its_files() -> None:
    assert {folder.name for folder in CORPUS.iterdir()} == set(PARSERS)


@pytest.mark.parametrize("parser", PARSERS)
def test_what_lies_in_the_corpus_is_answered(parser: str, place: Place) -> None:
    """What is called sound is taken without a word, everything else is refused or told of."""
    silent = {file.name for file in files_of(parser) if not answered(parser, file.read_bytes(), place)}
    assert silent == {file.name for file in files_of(parser) if file.name.startswith("sound")}


@pytest.mark.parametrize("share", [100, pytest.param(1, marks=pytest.mark.slow)])
@pytest.mark.parametrize("parser", PARSERS)
def test_spoilt_files_are_answered_too(parser: str, share: int, place: Place) -> None:
    luck = random.Random(parser)
    files = [file.read_bytes() for file in files_of(parser)]
    for _ in range(PARSERS[parser][1] // share):
        raw = spoilt(luck.choice(files), luck)
        try:
            answered(parser, raw, place)
        except Exception as error:
            error.add_note(f"{parser}, put this into its corpus: {raw!r}")
            raise
