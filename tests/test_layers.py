"""The shape of the program: who may import whom, and who may touch the world (DEVELOPERS.md, "The map")."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "engine" / "kickover"

ROWS = (
    ("core",),
    ("units",),
    ("formulas",),
    ("model",),
    ("authoring",),
    ("inference",),
    ("planning",),
    ("session",),
    ("ui", "documents"),
    ("simulation", "training", "learning", "packing"),
    ("api",),
    ("cli",),
)
"""The rows of the map, low to high: a module imports only from rows above its own, or from its own part."""

ALONE = {
    "yaml": ("authoring/",),
    "jsonschema": ("authoring/",),
    "prompt_toolkit": ("ui/terminal.py",),
    "graphviz": ("documents/",),
    "graphviz_pure": ("documents/",),
    "click": ("cli/",),
    "platformdirs": ("cli/",),
    "sqlite3": ("learning/",),
}
"""Libraries that live in one part alone."""

WORLD = {"datetime", "time", "random", "secrets", "os", "sys", "socket", "subprocess", "tempfile", "locale"}
"""Clock, randomness, environment: a core without input or output has them handed in."""

PURE = ("core/ids.py", "core/problem.py", "units/", "formulas/", "model/", "inference/", "planning/")


@dataclass(frozen=True)
class Import:
    """One import: in which file, of what, at which line, and whether inside a function."""

    file: str
    module: str
    line: int
    inside: bool


def imports() -> list[Import]:
    return [one for path in sorted(PACKAGE.rglob("*.py")) for one in imports_of(path)]


def imports_of(path: Path) -> Iterator[Import]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    inside = {
        id(node)
        for function in ast.walk(tree)
        if isinstance(function, ast.FunctionDef | ast.AsyncFunctionDef)
        for node in ast.walk(function)
    }
    name = path.relative_to(PACKAGE).as_posix()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield Import(name, alias.name, node.lineno, id(node) in inside)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{name}:{node.lineno}: import by the full name"
            yield Import(name, node.module or "", node.lineno, id(node) in inside)


def part_of(module: str) -> str:
    return module.split(".")[1] if "." in module else ""


def row_of(part: str) -> int:
    return next(number for number, row in enumerate(ROWS) if part in row)


@pytest.fixture(scope="module")
def seen() -> list[Import]:
    found = imports()
    assert len(found) > 300, "the test looks at the wrong folder: it sees hardly any imports"
    return found


def test_a_module_imports_only_from_rows_above_its_own(seen: list[Import]) -> None:
    wrong = []
    checked = 0
    for one in seen:
        if not one.module.startswith("kickover.") or one.file == "__init__.py":
            continue
        own = one.file.split("/", maxsplit=1)[0].removesuffix(".py")
        other = part_of(one.module)
        checked += 1
        if own != other and row_of(other) >= row_of(own):
            wrong.append(f"{one.file}:{one.line} imports {one.module}")
    assert checked > 150
    assert wrong == []


def test_libraries_stay_in_the_part_that_is_theirs(seen: list[Import]) -> None:
    used = set()
    wrong = []
    for one in seen:
        top = one.module.split(".", maxsplit=1)[0]
        if top in ALONE:
            used.add(top)
            if not one.file.startswith(ALONE[top]):
                wrong.append(f"{one.file}:{one.line} imports {one.module}")
    assert wrong == []
    assert {"yaml", "jsonschema", "prompt_toolkit", "graphviz", "click"} <= used


def test_the_core_has_the_world_handed_in(seen: list[Import]) -> None:
    wrong = [
        f"{one.file}:{one.line} imports {one.module}"
        for one in seen
        if one.file.startswith(PURE) and one.module.split(".", maxsplit=1)[0] in WORLD
    ]
    assert wrong == []


def test_nothing_below_the_fronts_prints_or_reads_keys() -> None:
    wrong = []
    calls = 0
    for path in sorted(PACKAGE.rglob("*.py")):
        name = path.relative_to(PACKAGE).as_posix()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call):
                calls += 1
                talks = isinstance(node.func, ast.Name) and node.func.id in {"print", "input"}
                if talks and not name.startswith(("cli/", "ui/terminal.py")):
                    wrong.append(f"{name}:{node.lineno}")
    assert calls > 1000
    assert wrong == []


def test_no_import_hides_in_a_function_but_the_slow_ones(seen: list[Import]) -> None:
    """An import inside a function is for start-up time alone: third-party packages, never our own modules."""
    hidden = [one for one in seen if one.inside and one.module.startswith("kickover")]
    assert [f"{one.file}:{one.line}" for one in hidden] == []


def test_every_module_says_what_it_is_for() -> None:
    silent = [
        path.relative_to(PACKAGE).as_posix()
        for path in sorted(PACKAGE.rglob("*.py"))
        if not ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))
    ]
    assert silent == []


def test_no_file_grows_past_its_job() -> None:
    long = {
        path.relative_to(PACKAGE).as_posix(): count
        for path in sorted(PACKAGE.rglob("*.py"))
        if (count := len(path.read_text(encoding="utf-8").splitlines())) > 400
    }
    assert long == {}
