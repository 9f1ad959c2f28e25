"""Whatever is done to an authored file, loading gives problems with lines, and never an exception."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kickover.authoring.files import shipped_folder
from kickover.authoring.loading import load_library
from kickover.authoring.source import read_document
from worlds.tiny_library import BASE, write_library

SHIPPED = sorted(path for path in shipped_folder().rglob("*.yaml"))
TOKENS = [
    b"[",
    b"]",
    b"{",
    b"}",
    b": ",
    b"- ",
    b"&a ",
    b"*a",
    b"!x ",
    b"\n",
    b"  ",
    b"'",
    b'"',
    b"|",
    b">",
    b"#",
]
TOKENS += [
    b"null",
    b"true",
    b"1",
    b"-1",
    b"1e400",
    b"yes",
    b"no-spark",
    b"<<: *a",
    b"---\n",
    b"%",
    b"@",
    b"\t",
    b"?",
]


@st.composite
def mutated(draw: st.DrawFn, raw: bytes) -> bytes:
    """Bytes with lines deleted, doubled or swapped, tokens put in, or bytes overwritten."""
    for _ in range(draw(st.integers(1, 4))):
        lines = raw.splitlines(keepends=True) or [b""]
        first, second = (draw(st.integers(0, len(lines) - 1)) for _ in range(2))
        at = draw(st.integers(0, max(len(raw) - 1, 0)))
        match draw(st.sampled_from(["delete", "double", "swap", "insert", "overwrite", "cut", "swap words"])):
            case "delete":
                del lines[first]
            case "double":
                lines.insert(second, lines[first])
            case "swap":
                lines[first], lines[second] = lines[second], lines[first]
            case "insert":
                lines = [raw[:at], draw(st.sampled_from(TOKENS)), raw[at:]]
            case "overwrite":
                lines = [raw[:at], draw(st.binary(min_size=1, max_size=3)), raw[at + 1 :]]
            case "cut":
                lines = [raw[:at]]
            case "swap words":
                one, other = lines[first].split(b" "), lines[second].split(b" ")
                one[-1], other[-1] = other[-1], one[-1]
                lines[first], lines[second] = b" ".join(one), b" ".join(other)
        raw = b"".join(lines)
    return raw


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_a_mutated_file_of_the_shipped_library_gives_problems_only(data: st.DataObject) -> None:
    path = data.draw(st.sampled_from(SHIPPED))
    raw = data.draw(mutated(path.read_bytes()))
    with tempfile.TemporaryDirectory() as name:
        (Path(name) / "room.yaml").write_bytes(raw)
        _, problems = load_library(Path(name))
    assert all(1 <= problem.place.line <= raw.count(b"\n") + raw.count(b"\r") + 2 for problem in problems)
    assert all(problem.message and problem.hint for problem in problems)


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_a_mutated_file_of_a_whole_library_gives_problems_only(data: st.DataObject) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = write_library(Path(name))
        file = data.draw(st.sampled_from(sorted(BASE)))
        (folder / file).write_bytes(data.draw(mutated(BASE[file].encode())))
        first, second = load_library(folder), load_library(folder)
    assert first == second
    assert all(str(problem).count("\n") == 0 for problem in first[1])


@given(st.binary(max_size=300))
def test_any_bytes_give_a_document(raw: bytes) -> None:
    document = read_document(raw, "any.yaml")
    assert (document.data is None) <= bool(document.problems)


@given(st.text(alphabet=": -[]{}&*!|>'\"%@`#,?\n abc123", max_size=200))
def test_any_text_of_yaml_marks_gives_a_document(text: str) -> None:
    document = read_document(text.encode(), "any.yaml")
    assert (document.data is None) <= bool(document.problems)


@pytest.mark.parametrize("cuts", [3, pytest.param(25, marks=pytest.mark.slow)])
def test_a_shipped_file_cut_short_anywhere_gives_problems_only(cuts: int) -> None:
    for path in SHIPPED:
        raw = path.read_bytes()
        for cut in range(cuts):
            document = read_document(raw[: (2 * cut + 1) * len(raw) // (2 * cuts)], path.name)
            assert all(problem.place.file == path.name for problem in document.problems)
