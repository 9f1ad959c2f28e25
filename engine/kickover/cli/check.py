"""`kickover check`: every problem of a library in one run."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

import click

from kickover.authoring.files import shipped_folder
from kickover.authoring.loading import load_library
from kickover.cli.output import answer, json_option
from kickover.core.problem import Problem
from kickover.model.library import Library


@click.command(name="check")
@click.argument("folder", required=False, type=click.Path(path_type=Path))
@click.option("--library", "library", type=click.Path(path_type=Path), help="The same as FOLDER.")
@json_option
def check(folder: Path | None, library: Path | None) -> int:
    """Check a library: first its form, then its meaning.

    FOLDER holds the YAML files; without it the library that comes with kickover is checked. Every problem
    is printed as `file:line: what is wrong; what would mend it`. Exit code 1 when there is any.
    """
    where = folder or library or _near(shipped_folder())
    found, problems = load_library(where)
    answer([_as_data(problem) for problem in problems], _lines(where, found, problems))
    return 1 if problems else 0


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
