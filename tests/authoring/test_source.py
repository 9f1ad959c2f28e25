"""What YAML text becomes: plain data with the line of every key and item, read alike by both parsers."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from authoring.test_malformed_libraries import cases
from kickover.authoring.files import shipped_folder
from kickover.authoring.located import Items, Table, inner, listed
from kickover.authoring.source import read_document
from worlds.tiny_library import problems_in, spoil


def data_of(text: str) -> Table:
    document = read_document(text.encode(), "a.yaml")
    assert document.problems == ()
    assert document.data is not None
    return document.data


def test_keys_are_always_text() -> None:
    assert data_of("{yes: a, no: b, on: c, 1: d, null: e, true: f, 1.5: g}") == {
        "yes": "a",
        "no": "b",
        "on": "c",
        "1": "d",
        "null": "e",
        "true": "f",
        "1.5": "g",
    }


def test_plain_numbers_truths_and_nothing_are_what_they_say() -> None:
    values = data_of("{a: 1, b: -2.5, c: 3e2, d: true, e: False, f: null, g: ~, h: , i: .5, j: 007}")
    assert list(values.values()) == [1, -2.5, 300.0, True, False, None, None, None, 0.5, 7]


def test_what_is_quoted_stays_text() -> None:
    assert data_of("{a: '1', b: \"true\", c: 'null'}") == {"a": "1", "b": "true", "c": "null"}


def test_blocks_of_text_stay_text() -> None:
    assert data_of("a: >-\n  12\nb: |\n  true\n") == {"a": "12", "b": "true\n"}


def test_every_key_and_item_has_its_line() -> None:
    data = data_of("a: 1\nb:\n  c: 2\n  d:\n    - x\n    - y\n")
    assert data.lines == {"a": 1, "b": 2}
    assert inner(data, "b").lines == {"c": 3, "d": 4}
    assert listed(inner(data, "b"), "d").lines == [5, 6]


def test_an_alias_is_the_value_that_was_marked() -> None:
    data = data_of("a: &mark {x: [1]}\nb: *mark\n")
    assert data["b"] is data["a"]


def test_a_mark_may_be_given_anew() -> None:
    assert data_of("a: &m 1\nb: *m\nc: &m 2\nd: *m\n") == {"a": 1, "b": 1, "c": 2, "d": 2}


def test_of_equal_keys_the_first_is_kept_and_the_second_is_reported_with_both_lines() -> None:
    document = read_document(b"a:\n  b: 1\n  c: 2\n  b: 3\n", "a.yaml")
    assert document.data == {"a": {"b": 1, "c": 2}}
    (problem,) = document.problems
    assert (problem.place.line, problem.path) == (4, "a/b")
    assert problem.message == "`b` is here and on line 2 already"


def test_the_trail_of_a_problem_names_items_by_what_they_hold() -> None:
    document = read_document(b"a:\n  - {event: plug-fouled, chance: !x 1}\n", "a.yaml")
    assert [problem.path for problem in document.problems] == ["a/#1/chance"]


def test_an_empty_list_and_an_empty_mapping_are_kept() -> None:
    data = data_of("a: []\nb: {}\n")
    assert isinstance(data["a"], Items)
    assert isinstance(data["b"], Table)


def test_the_shipped_library_reads_the_same_without_the_fast_parser(monkeypatch: pytest.MonkeyPatch) -> None:
    paths = sorted(shipped_folder().rglob("*.yaml"))
    fast = [read_document(path.read_bytes(), path.name) for path in paths]
    monkeypatch.setattr("kickover.authoring.source._LOADER", yaml.SafeLoader)
    assert [read_document(path.read_bytes(), path.name) for path in paths] == fast


WRITING = [case for case in cases() if str(case.id).startswith("writing")]


@pytest.mark.parametrize(("file", "old", "new", "expected"), WRITING)
def test_without_the_fast_parser_broken_writing_is_found_in_the_same_places(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, file: str, old: str, new: str, expected: list[str]
) -> None:
    monkeypatch.setattr("kickover.authoring.source._LOADER", yaml.SafeLoader)
    found = problems_in(spoil(tmp_path, file, old, new))
    assert [said.split(": ")[0] for said in found] == [said.split(": ")[0] for said in expected]
    assert not any("this is not YAML" in said for said in found)
