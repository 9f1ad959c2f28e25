"""`kickover check`: every problem of a library in one run."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from time import sleep as pause

import click

from kickover.authoring.files import shipped_folder
from kickover.authoring.loading import load_library
from kickover.cli.output import answer, json_option
from kickover.core.problem import Problem
from kickover.model.library import Library

BETWEEN_LOOKS = 0.5
"""Seconds from one look at the files to the next."""


@click.command(name="check")
@click.argument("folder", required=False, type=click.Path(path_type=Path))
@click.option("--library", "library", type=click.Path(path_type=Path), help="The same as FOLDER.")
@click.option("--watch", is_flag=True, help="Check anew whenever a file is written, until Ctrl-C.")
@json_option
def check(folder: Path | None, library: Path | None, watch: bool) -> int:
    """Check a library: first its form, then its meaning.

    FOLDER holds the YAML files; without it the library that comes with kickover is checked. Every problem
    is printed as `file:line: what is wrong; what would mend it`. Exit code 1 when there is any.
    """
    where = folder or library or _near(shipped_folder())
    before = _written(where)
    code = _checked(where)
    while watch:
        pause(BETWEEN_LOOKS)
        if (now := _written(where)) != before:
            click.echo(f"\nChecked anew after a change in {where}:", err=True)
            before, code = now, _checked(where)
    return code


def _checked(where: Path) -> int:
    found, problems = load_library(where)
    answer([_as_data(problem) for problem in problems], _lines(where, found, problems))
    return 1 if problems else 0


def _written(folder: Path) -> dict[Path, int]:
    """When each file of a library was last written."""
    return {file: file.stat().st_mtime_ns for file in folder.rglob("*.y*ml") if file.is_file()}


def _lines(where: Path, found: Library | None, problems: Sequence[Problem]) -> Iterator[str]:
    yield from map(str, problems)
    if problems:
        yield "1 problem" if len(problems) == 1 else f"{len(problems)} problems"
    elif found is not None:
        yield (
            f"{where}: no problems in {len(found.complaints)} complaints, {len(found.causes)} causes,"
            f" {len(found.checks)} checks, {len(found.repairs)} repairs"
        )


def _as_data(problem: Problem) -> dict[str, str | int]:
    place: dict[str, str | int] = {"file": problem.place.file, "line": problem.place.line}
    return {**place, "path": problem.path, "message": problem.message, "hint": problem.hint}


def _near(folder: Path) -> Path:
    """Shorten a path that lies below the working directory, so that the lines of problems stay short."""
    here = Path.cwd()
    return folder.relative_to(here) if folder.is_relative_to(here) else folder
