"""Text in, problems out: small spoilt libraries with every problem, its line and its mend.

The cases lie in `malformed/*.txt`, for each a name, the file of the base library that is spoilt, lines
taken out (`-`), lines put in (`+`), and the problems expected (`=`).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from worlds.tiny_library import problems_in, spoil, write_library

FOLDER = Path(__file__).parent / "malformed"


def cases() -> list[pytest.ParameterSet]:
    found = []
    for file in sorted(FOLDER.glob("*.txt")):
        for block in file.read_text(encoding="utf-8").split("\n\n"):
            name, spoilt, *lines = block.strip("\n").split("\n")
            marked = {mark: [line[1:] for line in lines if line[0] == mark] for mark in "-+="}
            old, new = "\n".join(marked["-"]), "\n".join(marked["+"])
            found.append(pytest.param(spoilt, old, new, marked["="], id=f"{file.stem}: {name[2:]}"))
    return found


@pytest.mark.parametrize(("file", "old", "new", "expected"), cases())
def test_what_is_wrong_is_reported_with_its_line_and_its_mend(
    tmp_path: Path, file: str, old: str, new: str, expected: list[str]
) -> None:
    assert problems_in(spoil(tmp_path, file, old, new)) == expected


def test_the_base_library_itself_has_no_problems(tmp_path: Path) -> None:
    assert problems_in(write_library(tmp_path)) == []


def test_every_problem_of_a_library_is_reported_in_one_run(tmp_path: Path) -> None:
    spoil(tmp_path, "tree.yaml", "rate: rare", "rate: seldom")
    (tmp_path / "pouch.yaml").write_text("kit: {id: pouch, title: Pouch, items: [socket, plg]}\n")
    (tmp_path / "moped.yaml").write_text("machine: {id: moped, titel: Moped, traits: []}\n")
    assert problems_in(tmp_path) == [
        "moped.yaml:1: `moped` has no `title:`; add `title: ...`"
        " (a text, in quotation marks if it looks like a number)",
        "moped.yaml:1: `moped` has no key `titel`; did you mean `title:`?",
        "pouch.yaml:1: there is no item `plg`; did you mean `plug`?",
        "tree.yaml:21: `seldom` is no rate word; write one of common, rare, or a number",
    ]


def test_what_a_broken_file_speaks_of_is_not_judged_as_unknown(tmp_path: Path) -> None:
    spoil(tmp_path, "ground.yaml", "  hot-parts: {", "  hot-parts: @{")
    assert problems_in(tmp_path) == [
        "ground.yaml:10: the text starts with a mark that YAML keeps for itself;"
        " put the text into quotation marks"
    ]
