"""`kickover cases learn`: rates and chances from closed cases, as an overlay of the library."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import Any

import click

from kickover.authoring import shipped_folder
from kickover.cli.cases import grounds_of
from kickover.cli.context import (
    FiniteRange,
    cases_file,
    json_option,
    library_option,
    open_library,
    print_json,
)
from kickover.learning.case_files import write_whole
from kickover.learning.case_wording import lesson_lines
from kickover.learning.learning import Judged, LearnedRates, Strength, learn_from
from kickover.learning.overlay import Overlay, overlay
from kickover.learning.store import opened
from kickover.learning.tally import origin_weights

DEFAULT = Strength()


@click.command()
@click.option("-o", "--output", type=click.Path(dir_okay=False, path_type=Path), metavar="FILE.yaml",
              help="Write what was learned as a file to be laid over the library.")  # fmt: skip
@click.option("--strength", type=FiniteRange(min=0.1, max=1e6), default=DEFAULT.rates, show_default=True,
              help="Cases of its cause that each rate of the library counts as.")  # fmt: skip
@click.option("--answers", type=FiniteRange(min=1, max=1e6), default=DEFAULT.chances, show_default=True,
              help="Answers that the chances on each line of a check count as.")  # fmt: skip
@click.option("--only", type=click.Choice(["rates", "chances"]), help="Write only these.")
@click.option("--accept", multiple=True, metavar="CAUSE|all",
              help="Take a rate that moves further than the cases support.")  # fmt: skip
@click.option("--trust", multiple=True, metavar="IMPORT",
              help="Count this import in full; one import else counts no more than the rest.")  # fmt: skip
@click.option("--folds", type=click.IntRange(2, 20), default=5, show_default=True,
              help="Into how many parts to split the cases for the judgement.")  # fmt: skip
@click.option(
    "--seed",
    type=click.IntRange(0),
    default=1,
    show_default=True,
    help="The same seed gives the same numbers.",
)
@click.option("--top", type=click.IntRange(min=1), default=15, show_default=True, help="Lines to show.")
@library_option
@json_option
def learn(
    output: Path | None,
    strength: float,
    answers: float,
    only: str | None,
    accept: tuple[str, ...],
    trust: tuple[str, ...],
    folds: int,
    seed: int,
    top: int,
    library: Path | None,
    as_json: bool,
) -> int:
    """Learn rates and chances from the cases, and judge whether that helps.

    Each part of the cases is foretold from the others; what was learned is recommended only when it
    foretells them better than the library does. Exit code 1 when there is no case to learn from.
    """
    folder = library or shipped_folder()
    if output is not None:
        _allowed(output, folder)
    loaded = open_library(library)
    with opened(cases_file()) as store:
        grounds = grounds_of(loaded)
        weights = origin_weights(store.origins(), trust)
        lesson = learn_from(store.texts(), grounds, Strength(strength, answers), seed, folds, weights)
    made = None
    if output is not None and lesson.used:
        wanted = frozenset(rate.cause for rate in lesson.rates) if "all" in accept else frozenset(accept)
        made = overlay(lesson, folder, loaded.library.version, only != "chances", only != "rates", wanted)
        write_whole(output, [made.text])
    if as_json:
        print_json(_data(lesson, output, made))
    else:
        for line in lesson_lines(lesson, loaded.library, top):
            click.echo(line)
        _tell(output, made)
    return 0 if lesson.used else 1


def _allowed(output: Path, folder: Path) -> None:
    if output.suffix != ".yaml":
        raise click.UsageError(f"{output}: end its name in .yaml")
    if output.resolve().is_relative_to(folder.resolve()):
        raise click.UsageError(f"{output}: this lies in the library itself; name a file elsewhere")


def _tell(output: Path | None, made: Overlay | None) -> None:
    if made is None:
        if output is not None:
            click.echo(f"\nThere is nothing to learn from: {output} is not written")
        return
    click.echo(f"\n{made.causes} causes and {made.checks} checks written to {output}")
    for one in made.left_out:
        click.echo(f"  left out: {one}")


def _data(lesson: LearnedRates, output: Path | None, made: Overlay | None) -> dict[str, Any]:
    return {
        "cases": lesson.cases,
        "used": lesson.used,
        "passed_over": dict(lesson.passed_over),
        "answers_left": lesson.answers_left,
        "strength": asdict(lesson.strength),
        "rates": [asdict(rate) for rate in lesson.rates],
        "chances": [asdict(chance) for chance in lesson.chances],
        "rates_judged": _judged(lesson.rates_judged),
        "chances_judged": _judged(lesson.chances_judged),
        "overlay": None
        if made is None
        else {
            "file": str(output),
            "causes": made.causes,
            "checks": made.checks,
            "left_out": list(made.left_out),
        },
    }


def _judged(judged: Judged) -> dict[str, Any]:
    return {**asdict(judged), "verdict": judged.verdict.value}
