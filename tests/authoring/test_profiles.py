"""A machine or a kit in a file of its own, judged against a library."""

from __future__ import annotations

from pathlib import Path

import pytest

from kickover.authoring.profiles import load_kit, load_machine, read_kit, read_machine
from kickover.core.problem import LibraryError
from worlds.tiny_library import base_library, said


def machine_problems(tmp_path: Path, text: str) -> list[str]:
    file = tmp_path / "mine.yaml"
    file.write_text(text)
    return [said(problem, tmp_path) for problem in read_machine(file, base_library(tmp_path / "base"))[1]]


def kit_problems(tmp_path: Path, text: str) -> list[str]:
    file = tmp_path / "mine.yaml"
    file.write_text(text)
    return [said(problem, tmp_path) for problem in read_kit(file, base_library(tmp_path / "base"))[1]]


def test_a_machine_is_loaded_with_its_traits_and_figures(tmp_path: Path) -> None:
    file = tmp_path / "mine.yaml"
    file.write_text(
        "machine: {id: mine, title: Mine, traits: [four-stroke], figures: {good-pressure: 90 psi}}\n"
    )
    machine = load_machine(file, base_library(tmp_path / "base"))
    assert machine.traits == {"four-stroke"}
    assert {name: value.within("psi") for name, value in machine.figures.items()} == {
        "good-pressure": pytest.approx(90)
    }


def test_a_machine_with_problems_is_not_loaded(tmp_path: Path) -> None:
    file = tmp_path / "mine.yaml"
    file.write_text("machine: {id: mine, title: Mine, traits: [five-stroke]}\n")
    with pytest.raises(LibraryError, match="there is no trait `five-stroke`; did you mean `four-stroke`"):
        load_machine(file, base_library(tmp_path / "base"))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "machine:\n  id: mine\n  title: Mine\n  traits: [two-stroke, four-stroke]\n",
            [
                "mine.yaml:4: mine has `four-stroke`, `two-stroke`, and a machine has one stroke only;"
                " keep one of them"
            ],
        ),
        (
            "machine:\n  id: mine\n  title: Mine\n  traits: []\n  figures:\n    good-presure: 7 bar\n",
            ["mine.yaml:6: there is no figure `good-presure`; did you mean `good-pressure`?"],
        ),
        (
            "machine:\n  id: mine\n  title: Mine\n  traits: []\n  figures: {good-pressure: 40 bar}\n",
            [
                "mine.yaml:1: `compression`: on mine the limit above `low` is 32 bar,"
                " outside 0 bar to 20 bar; widen that or mend the limit"
            ],
        ),
        (
            "causes: {}\n",
            [
                "mine.yaml:1: a file with a machine of your own holds that only; move `causes:` elsewhere",
                "mine.yaml:1: the file holds no machine; write it under `machine:`",
            ],
        ),
        (
            "machine: {id: mine, title: Mine, traits: []}\nkit: {id: a, title: A, items: all}\n",
            ["mine.yaml:2: a file with a machine of your own holds that only; move `kit:` elsewhere"],
        ),
        (
            "machine: [\n",
            ["mine.yaml:2: something is missing here, or a bracket before it is not closed; complete it"],
        ),
    ],
    ids=["traits", "figure", "limit", "other section", "two sections", "broken"],
)
def test_what_is_wrong_with_a_machine_is_reported_with_its_line(
    tmp_path: Path, text: str, expected: list[str]
) -> None:
    assert machine_problems(tmp_path, text) == expected


def test_a_machine_that_is_not_there_is_a_problem(tmp_path: Path) -> None:
    made, problems = read_machine(tmp_path / "gone.yaml", base_library(tmp_path / "base"))
    assert made is None
    assert [problem.message for problem in problems] == ["the file is not there"]


def test_a_kit_is_loaded_with_its_items(tmp_path: Path) -> None:
    file = tmp_path / "mine.yaml"
    file.write_text("kit: {id: mine, title: Mine, items: [socket]}\n")
    assert load_kit(file, base_library(tmp_path / "base")).items == {"socket"}


def test_a_kit_of_all_holds_every_tool_and_spare(tmp_path: Path) -> None:
    file = tmp_path / "mine.yaml"
    file.write_text("kit: {id: mine, title: Mine, items: all}\n")
    assert load_kit(file, base_library(tmp_path / "base")).items == {"socket", "gauge", "plug"}


def test_an_unknown_item_of_a_kit_is_reported_with_its_line(tmp_path: Path) -> None:
    assert kit_problems(
        tmp_path, "kit:\n  id: mine\n  title: Mine\n  items:\n    - socket\n    - plugg\n"
    ) == ["mine.yaml:6: there is no item `plugg`; did you mean `plug`?"]
