"""`kickover check`: every problem of a library in one run."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from kickover.authoring.files import shipped_folder
from kickover.authoring.loading import load_library
from kickover.cli.context import json_option, print_json
from kickover.core.problem import Problem


@click.command(name="check")
@click.argument("folder", required=False, type=click.Path(path_type=Path))
@click.option("--library", "library", type=click.Path(path_type=Path), help="The same as FOLDER.")
@json_option
def check(folder: Path | None, library: Path | None, as_json: bool) -> None:
    """Check a library: first its form, then its meaning.

    FOLDER holds the YAML files; without it the library that comes with kickover is checked. Every problem
    is printed as `file:line: what is wrong; what would mend it`. Exit code 1 when there is any.
    """
    where = folder or library or _near(shipped_folder())
    found, problems = load_library(where)
    if as_json:
        print_json([_as_data(problem) for problem in problems])
    else:
        for problem in problems:
            click.echo(str(problem))
        if found is not None and not problems:
            click.echo(
                f"{where}: no problems in {len(found.complaints)} complaints, {len(found.causes)} causes,"
                f" {len(found.checks)} checks, {len(found.repairs)} repairs"
            )
        elif problems:
            click.echo("1 problem" if len(problems) == 1 else f"{len(problems)} problems")
    if problems:
        sys.exit(1)


def _as_data(problem: Problem) -> dict[str, str | int]:
    return {
        "file": problem.place.file,
        "line": problem.place.line,
        "path": problem.path,
        "message": problem.message,
        "hint": problem.hint,
    }


def _near(folder: Path) -> Path:
    """Shorten a path that lies below the working directory, so that the lines of problems stay short."""
    here = Path.cwd()
    return folder.relative_to(here) if folder.is_relative_to(here) else folder
