"""`kickover cases learn`: rates and chances from closed cases, as an overlay of the library."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from itertools import chain
from pathlib import Path
from typing import Any

import click

from kickover.authoring import shipped_folder
from kickover.cli import options
from kickover.cli.cases import grounds_of
from kickover.cli.context import cases_file, kept, open_library
from kickover.cli.output import answer, json_option
from kickover.learning.case_files import write_whole
from kickover.learning.case_wording import lesson_lines
from kickover.learning.learning import Judged, LearnedRates, Strength, learn_from
from kickover.learning.overlay import Overlay, overlay
from kickover.learning.store import opened
from kickover.learning.tally import origin_weights

DEFAULT = Strength()


@click.command()
@options.output("yaml", what="Write what was learned as a file to be laid over the library.")
@options.number("--strength", "Cases of its cause that each rate of the library counts as.",
                0.1, 1e6, default=DEFAULT.rates)  # fmt: skip
@options.number("--answers", "Answers that the chances on each line of a check count as.",
                1, 1e6, default=DEFAULT.chances)  # fmt: skip
@click.option("--only", type=click.Choice(["rates", "chances"]), help="Write only these.")
@click.option("--accept", multiple=True, metavar="CAUSE|all",
              help="Take a rate that moves further than the cases support.")  # fmt: skip
@click.option("--trust", multiple=True, metavar="IMPORT",
              help="Count this import in full; one import else counts no more than the rest.")  # fmt: skip
@click.option("--folds", type=click.IntRange(2, 20), default=5,
              help="Into how many parts to split the cases for the judgement.")  # fmt: skip
@options.seed(1)
@click.option("--top", type=click.IntRange(min=1), default=15, help="Lines to show.")
@options.library
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
) -> int:
    """Learn rates and chances from the cases, and judge whether that helps.

    Each part of the cases is foretold from the others; what was learned is recommended only when it
    foretells them better than the library does. Exit code 1 when there is no case to learn from.
    """
    folder = kept("library") or shipped_folder()
    if output is not None and output.resolve().is_relative_to(folder.resolve()):
        raise click.UsageError(f"{output}: this lies in the library itself; name a file elsewhere")
    loaded = open_library()
    with opened(cases_file()) as store:
        grounds = grounds_of(loaded)
        weights = origin_weights(store.origins(), trust)
        lesson = learn_from(store.texts(), grounds, Strength(strength, answers), seed, folds, weights)
    made = None
    if output is not None and lesson.used:
        wanted = frozenset(rate.cause for rate in lesson.rates) if "all" in accept else frozenset(accept)
        made = overlay(lesson, folder, loaded.library.version, only != "chances", only != "rates", wanted)
        write_whole(output, [made.text])
    said = chain(lesson_lines(lesson, loaded.library, top), _written(output, made))
    answer(_data(lesson, output, made), said)
    return 0 if lesson.used else 1


def _written(output: Path | None, made: Overlay | None) -> Iterator[str]:
    if made is not None:
        yield f"\n{made.causes} causes and {made.checks} checks written to {output}"
        yield from (f"  left out: {one}" for one in made.left_out)
    elif output is not None:
        yield f"\nThere is nothing to learn from: {output} is not written"


def _data(lesson: LearnedRates, output: Path | None, made: Overlay | None) -> dict[str, Any]:
    written = made and {"causes": made.causes, "checks": made.checks, "left_out": list(made.left_out)}
    return {
        **asdict(lesson),
        "rates_judged": _judged(lesson.rates_judged),
        "chances_judged": _judged(lesson.chances_judged),
        "overlay": written and {"file": str(output), **written},
    }


def _judged(judged: Judged) -> dict[str, Any]:
    return {**asdict(judged), "verdict": judged.verdict.value}
