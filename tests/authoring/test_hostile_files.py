"""Hostile files are refused as problems with a line: nothing is run, nothing hangs, nothing is raised."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
import yaml

from kickover.authoring.files import MOST_BYTES, MOST_ENTRIES
from kickover.authoring.loading import MOST_PROBLEMS, load_library
from kickover.authoring.source import MOST_DEPTH, read_document, read_folder
from worlds.tiny_library import problems_in, write_library


def refusal(raw: bytes) -> str:
    document = read_document(raw, "hostile.yaml")
    return "\n".join(str(problem) for problem in document.problems)


def test_an_object_in_a_tag_is_never_constructed(tmp_path: Path) -> None:
    marker = tmp_path / "was-run"
    text = f"causes: !!python/object/apply:pathlib.Path.touch [!!python/name:pathlib.Path '{marker}']\n"
    assert "the tag `tag:yaml.org,2002:python/object/apply:pa` is not read" in refusal(text.encode())
    assert not marker.exists()


def test_aliases_that_multiply_are_refused_where_they_pass_the_limit() -> None:
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 10)}]" for n in range(1, 30)]
    assert refusal("\n".join(lines).encode()) == (
        "hostile.yaml:6: the file comes to more than 400000 values here; split it, and repeat less by aliases"
    )


def test_aliases_that_deepen_are_refused() -> None:
    lines = ["a0: &a0 [x]"] + [f"a{n}: &a{n} [*a{n - 1}]" for n in range(1, 1000)]
    assert refusal("\n".join(lines).encode()) == (
        f"hostile.yaml:{MOST_DEPTH - 1}: the nesting is more than {MOST_DEPTH} levels deep here;"
        " write it flatter"
    )


@pytest.fixture(params=["fast", "plain"])
def _parser(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    if request.param == "plain":
        monkeypatch.setattr("kickover.authoring.source._LOADER", yaml.SafeLoader)


@pytest.mark.usefixtures("_parser")
@pytest.mark.parametrize("levels", [MOST_DEPTH, 100_000])
@pytest.mark.parametrize("opening", ["[", "{a: ", "- "])
def test_deep_nesting_is_refused(opening: str, levels: int) -> None:
    said = refusal(b"a:\n  " + opening.encode() * levels)
    assert said.startswith("hostile.yaml:2: the nesting is ")
    assert said.endswith("write it flatter")


def test_an_alias_that_contains_itself_is_refused() -> None:
    assert refusal(b"a: &a {b: {c: *a}}") == (
        "hostile.yaml:1: `*a` stands inside `&a` itself; write out what is meant"
    )


def test_a_huge_file_is_refused_by_its_size() -> None:
    assert refusal(b"#" * (MOST_BYTES + 1)) == (
        "hostile.yaml:1: the file has more than 2000000 bytes; split it into several files"
    )


def test_a_long_scalar_of_digits_is_no_number() -> None:
    document = read_document(b"a: " + b"9" * 100_000, "long.yaml")
    assert document.data == {"a": "9" * 100_000}


@pytest.mark.parametrize(
    "written", [".inf", "1e999", ".nan", "0x10", "0o7", "1_000", "yes", "no", "on", "off", "12:30"]
)
def test_what_other_readers_turn_into_numbers_or_truths_stays_text(written: str) -> None:
    assert read_document(f"a: {written}".encode(), "a.yaml").data == {"a": written}


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"causes:\n  a: \xff\xfe\n", "bad.yaml:2: this line is not UTF-8 text; save the file as UTF-8"),
        ("causes: {}\n".encode("utf-16"), "bad.yaml:1: this line is not UTF-8 text; save the file as UTF-8"),
        (
            b"causes:\n  a: \x00\n",
            "bad.yaml:2: there is a character that cannot be shown (U+0000); delete it",
        ),
        (b"causes:\n\ta: b\n", "bad.yaml:2: there is a tab on this line; use spaces instead"),
        (b"", "bad.yaml:1: the file is empty; write a section such as `causes:` into it, or delete it"),
        (
            b"# a remark\n",
            "bad.yaml:1: the file is empty; write a section such as `causes:` into it, or delete it",
        ),
        (
            b"\n- a\n",
            "bad.yaml:2: the file is no mapping of sections; start it with one such as `causes:`",
        ),
        (b"PK\x03\x04\x00\x01", "bad.yaml:1: there is a character that cannot be shown (U+0003); delete it"),
    ],
    ids=["latin", "utf-16", "nul", "tab", "empty", "remark only", "list", "archive"],
)
def test_what_is_no_yaml_text_is_refused(raw: bytes, said: str) -> None:
    document = read_document(raw, "bad.yaml")
    assert [str(problem) for problem in document.problems] == [said]
    assert document.data is None


def test_a_mark_of_byte_order_is_read_over() -> None:
    assert read_document(b"\xef\xbb\xbfcauses: {}\n", "a.yaml").data == {"causes": {}}


def test_lines_are_counted_the_same_whatever_ends_them() -> None:
    for ending in ("\n", "\r\n"):
        document = read_document(ending.join(["a: 1", "b: 2", "a: 3", ""]).encode(), "a.yaml")
        assert [str(problem.place) for problem in document.problems] == ["a.yaml:3"]


def test_a_folder_without_yaml_is_a_problem(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("nothing")
    assert load_library(tmp_path)[0] is None
    assert [problem.message for problem in load_library(tmp_path)[1]] == [
        "there is no YAML file in this folder"
    ]


def test_a_folder_that_is_not_there_is_a_problem(tmp_path: Path) -> None:
    library, problems = load_library(tmp_path / "nowhere")
    assert library is None
    assert [problem.message for problem in problems] == ["the folder is not there"]


def test_a_file_in_place_of_a_folder_is_a_problem(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text("causes: {}")
    assert [problem.message for problem in load_library(tmp_path / "a.yaml")[1]] == [
        "the folder is not a folder"
    ]


def test_a_link_out_of_the_folder_is_not_followed(tmp_path: Path) -> None:
    secret = tmp_path / "secret.yaml"
    secret.write_text("causes: {}")
    folder = write_library(tmp_path / "library")
    (folder / "link.yaml").symlink_to(secret)
    assert problems_in(folder) == [
        "link.yaml:1: this link leads out of the folder; copy the file here instead"
    ]


def test_links_to_folders_are_not_followed(tmp_path: Path) -> None:
    folder = write_library(tmp_path / "library")
    (folder / "round").symlink_to(folder)
    assert problems_in(folder) == ["round:1: links to folders are not followed; copy the folder here instead"]


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    folder = write_library(tmp_path)
    os.mkfifo(folder / "pipe.yaml")
    assert problems_in(folder) == ["pipe.yaml:1: the file is no plain file; name a YAML file"]


def test_a_broken_link_is_a_problem(tmp_path: Path) -> None:
    folder = write_library(tmp_path)
    (folder / "gone.yaml").symlink_to(folder / "nowhere.yaml")
    assert problems_in(folder) == ["gone.yaml:1: the file is not there; name a YAML file"]


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_an_unreadable_file_is_a_problem(tmp_path: Path) -> None:
    folder = write_library(tmp_path)
    (folder / "pouch.yaml").chmod(0)
    assert problems_in(folder) == [
        "pouch.yaml:1: the file cannot be read (Permission denied); give yourself the right to read it"
    ]


def test_a_file_with_the_other_ending_is_pointed_out(tmp_path: Path) -> None:
    folder = write_library(tmp_path)
    (folder / "more.yml").write_text("causes: {}")
    assert problems_in(folder) == [
        "more.yml:1: only names that end in `.yaml` are read; rename it to more.yaml"
    ]


def test_hidden_files_and_folders_are_left_alone(tmp_path: Path) -> None:
    folder = write_library(tmp_path)
    (folder / ".hidden.yaml").write_text("nonsense")
    (folder / ".git").mkdir()
    (folder / ".git" / "config.yaml").write_text("nonsense")
    assert problems_in(folder) == []


def test_of_very_many_problems_the_first_are_told_and_the_rest_are_counted(tmp_path: Path) -> None:
    entries = "".join(f"  cause-{number}: {{titel: A}}\n" for number in range(1_000))
    found = problems_in(write_library(tmp_path, many=f"causes:\n{entries}"))
    assert len(found) == MOST_PROBLEMS + 1
    assert found[-1].endswith("more problems in this file; mend those before first")


def test_fifty_thousand_unknown_inputs_of_one_gate_are_fifty_problems_and_a_count(tmp_path: Path) -> None:
    inputs = ", ".join(f"unknown-{number}" for number in range(50_000))
    gate = f"events:\n  g: {{title: G, gate: or, of: [{inputs}]}}\n"
    found = problems_in(write_library(tmp_path, many=gate))
    assert len([problem for problem in found if "many" in problem]) == 51
    assert found[-1].endswith("more problems in this file; mend those before first")


def test_a_long_list_of_all_sorts_is_judged_quickly_and_its_first_mistakes_are_told(tmp_path: Path) -> None:
    items = ", ".join("socket" if number % 2 else str(number) for number in range(20_000))
    found = problems_in(write_library(tmp_path, many=f"kit: {{id: many, title: Many, items: [{items}]}}\n"))
    assert len(found) == 50
    assert found[0] == "many.yaml:1: this item is the number 0; put it into quotation marks"


def test_files_that_are_too_large_together_are_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("kickover.authoring.source.MOST_BYTES_IN_ALL", 2_000)
    _, problems = read_folder(write_library(tmp_path))
    assert [problem.message for problem in problems] == ["the files come to more than 2000 bytes"]


def test_a_tree_too_high_to_be_judged_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("kickover.authoring.validate.separation.MOST_TRUTHS", 5)
    assert problems_in(write_library(tmp_path)) == [
        "tree.yaml:19: so many events lie above the causes that it cannot be judged"
        " whether checks separate them; make the tree flatter, or split the library"
    ]


def test_a_folder_without_end_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert MOST_ENTRIES > 1000
    monkeypatch.setattr("kickover.authoring.files.MOST_ENTRIES", 5)
    documents, problems = read_folder(write_library(tmp_path))
    assert documents == ()
    assert [problem.message for problem in problems] == ["the folder holds more than 5 files"]
