"""The cache: a library read before is the same library, and nothing in the folder is trusted."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest

from kickover.authoring import shipped_folder
from kickover.authoring.cache import CodecError, from_text, load_cached, to_text
from kickover.authoring.loading import load_or_raise
from kickover.core.problem import LibraryError
from worlds.tiny_library import base_library, write_library


def test_the_shipped_library_survives_being_written_and_read() -> None:
    library = load_or_raise(shipped_folder())
    assert from_text(to_text(library)) == library


def test_the_second_start_reads_no_yaml(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = write_library(tmp_path / "faults")
    first = load_cached(folder, tmp_path / "cache")
    monkeypatch.setattr("kickover.authoring.load_or_raise", _never)
    assert load_cached(folder, tmp_path / "cache") == first


def test_a_change_in_any_file_is_seen(tmp_path: Path) -> None:
    folder = write_library(tmp_path / "faults")
    before = load_cached(folder, tmp_path / "cache")
    text = (folder / "tree.yaml").read_text(encoding="utf-8")
    (folder / "tree.yaml").write_text(
        text.replace("title: Plug fouled", "title: Plug black"), encoding="utf-8"
    )
    after = load_cached(folder, tmp_path / "cache")
    assert before.version != after.version
    assert next(cause.title for cause in after.causes.values()) == "Plug black"


@pytest.mark.parametrize(
    "text",
    [
        "",
        "nonsense",
        "[]",
        '["Library"]',
        '["os.system", "echo"]',
        '["Place", "a", 1]',
        "[" * 5000,
        '["()", ["Nothing"]]',
    ],
)
def test_a_spoilt_file_is_passed_over_and_made_anew(tmp_path: Path, text: str) -> None:
    with pytest.raises(CodecError):
        from_text(text)
    folder, cache = write_library(tmp_path / "faults"), tmp_path / "cache"
    library = load_cached(folder, cache)
    (file,) = cache.iterdir()
    file.write_text(text, encoding="utf-8")
    assert load_cached(folder, cache) == library
    assert from_text(file.read_text(encoding="utf-8").partition("\n")[2]) == library


def test_without_a_writable_folder_it_is_only_slower(tmp_path: Path) -> None:
    blocked = tmp_path / "cache"
    blocked.write_text("a file in the way", encoding="utf-8")
    library = load_cached(write_library(tmp_path / "faults"), blocked)
    assert library == base_library(tmp_path / "faults")


def test_an_unsound_library_is_never_kept(tmp_path: Path) -> None:
    folder = write_library(tmp_path / "faults", more="causes: {nothing-cures-me: {title: Alone, rate: 1}}\n")
    with pytest.raises(LibraryError):
        load_cached(folder, tmp_path / "cache")
    assert not (tmp_path / "cache").exists()


def _never(*_: object, **__: object) -> None:
    raise AssertionError("the library was read again")


def test_every_damaged_byte_is_noticed_and_the_library_read_anew(tmp_path: Path) -> None:
    """400 flips of one bit anywhere in a cached library: never a wrong text, never an error."""
    folder, cache = write_library(tmp_path / "library"), tmp_path / "cache"
    sound = to_text(load_cached(folder, cache))
    (file,) = cache.glob("*.json")
    raw = file.read_bytes()
    random = Random(1)
    for _ in range(400):
        spoilt = bytearray(raw)
        spoilt[random.randrange(len(raw))] ^= 1 << random.randrange(8)
        file.write_bytes(bytes(spoilt))
        assert to_text(load_cached(folder, cache)) == sound


def test_the_cache_stays_small_and_private_and_leaves_nothing(tmp_path: Path) -> None:
    folder, cache = write_library(tmp_path / "library"), tmp_path / "cache"
    load_cached(folder, cache)
    (cache / "old.123.part").write_bytes(b"half")
    for number in range(12):
        (folder / f"note-{number}.yaml").write_text("{}\n")
        load_cached(folder, cache)
    assert len(list(cache.glob("*.json"))) <= 8
    assert list(cache.glob("*.part")) == []
    assert cache.stat().st_mode & 0o077 == 0


def test_a_cache_where_others_may_write_is_not_used(tmp_path: Path) -> None:
    folder, cache = write_library(tmp_path / "library"), tmp_path / "cache"
    cache.mkdir(mode=0o777)
    cache.chmod(0o777)
    load_cached(folder, cache)
    assert list(cache.iterdir()) == []
