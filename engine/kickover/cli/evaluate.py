"""`kickover evaluate`: simulate engines under several ways of choosing steps, and compare them."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict
from io import StringIO
from pathlib import Path
from typing import Any

import click

from kickover.cli import options
from kickover.cli.completing import names_of
from kickover.cli.context import open_library
from kickover.cli.output import answer, json_option, json_wanted
from kickover.cli.output_gate import ungated
from kickover.core.atomic_file import write_file
from kickover.documents.evaluation_picture import ComparisonBar, comparison
from kickover.model.library import Library
from kickover.simulation.scores import Interval, Score, ratio, score
from kickover.simulation.simulated_walk import Walked
from kickover.simulation.trial_pool import run_all
from kickover.simulation.trials import PLANNERS, Trial, World, rough, trials

BLOCK = 50
"""Engines simulated together: they share the thinking about what is still the same for them."""


@click.command()
@click.argument("complaint", shell_complete=names_of("complaints"))
@options.machine(required=True)
@click.option("--planner", "planners", multiple=True, type=click.Choice(list(PLANNERS)),
              help="A way of choosing steps, as often as wanted; all of them by default.")  # fmt: skip
@click.option("--walks", type=click.IntRange(2), default=200, help="How many engines.")
@options.seed(0)
@click.option("--jobs", type=click.IntRange(1), help="Processes at once; one for each core by default.")
@click.option("--world", "named_world", type=click.Choice(["own", "rough"]), default="own",
              help="As the library says, or rougher: numbers off by up to 3, one answer in ten wrong, one in "
                   "eight 'not sure', two causes in 6 of 100.")  # fmt: skip
@options.number("--off-by", "How far real rates and chances of error may be off: a factor.", 1.0, default=1.0)
@options.number("--wrong-answers", "The share of answers that are wrong.", 0.0, 0.9, default=0.0)
@options.given
@options.kit()
@options.give_up
@options.output("svg", what="Draw the comparison.")
@options.library
@json_option
def evaluate(
    complaint: str,
    machine: str,
    planners: tuple[str, ...],
    walks: int,
    seed: int,
    jobs: int | None,
    named_world: str,
    off_by: float,
    wrong_answers: float,
    given: tuple[str, ...],
    kit: str | None,
    give_up: float | None,
    output: Path | None,
) -> None:
    """Simulate engines with COMPLAINT (several joined by commas) and compare ways of choosing steps."""
    loaded = open_library()
    known = loaded.library
    world = World(
        machine=loaded.machine(machine),
        complaints=tuple(loaded.complaint(part) for part in complaint.split(",")),
        given=frozenset(loaded.house(one) for one in given),
        kit=loaded.items(kit),
        give_up=known.settings.give_up_minutes if give_up is None else give_up,
        seed=seed,
        factor=off_by,
        slips=wrong_answers,
    )
    if named_world == "rough":
        world = rough(world)
    wanted = planners or tuple(
        name for name in PLANNERS if name != "expert-order" or world.complaints[0] in known.expert_orders
    )
    results = _run_all(known, list(trials(wanted, world, walks, BLOCK)), jobs, quiet=json_wanted())
    scores = {name: score(walked) for name, walked in results.items()}
    ratios = {name: ratio(results[wanted[0]], walked) for name, walked in results.items()}
    answer(_data(world, complaint, scores, ratios), _lines(scores, ratios))
    if output is not None:
        bars = [
            ComparisonBar(name, one.minutes.mean, one.minutes.low, one.minutes.high, one.minutes_p90)
            for name, one in scores.items()
        ]
        reliability = [(one.sure, one.right) for one in scores[wanted[0]].calibration]
        title = f"{known.complaints[world.complaints[0]].title}: {world.machine.title}, {walks} engines"
        write_file(output, comparison(title, bars, reliability).encode())


def _run_all(
    library: Library, wanted: Sequence[Trial], jobs: int | None, *, quiet: bool
) -> Mapping[str, list[Walked]]:
    """Run the trials on several processes, with a bar that shows how far they are."""
    results: dict[str, list[Walked]] = {trial.planner: [] for trial in wanted}
    with click.progressbar(
        length=sum(trial.count for trial in wanted),
        label="walking",
        file=StringIO() if quiet else ungated(sys.stderr),
    ) as progress:
        for trial, walked in zip(wanted, run_all(library, wanted, jobs), strict=True):
            results[trial.planner] += walked
            progress.update(len(walked))
    return results


def verdict(scores: Mapping[str, Score], ratios: Mapping[str, Interval]) -> str:
    """What the comparison comes to, in one sentence; what lies on both sides of 1 is not told apart."""
    first, *others = scores
    best = scores[first]
    groups = {
        "it is faster than {}": [name for name in others if ratios[name].high < 1],
        "it is slower than {}": [name for name in others if ratios[name].low > 1],
        "it cannot be told from {} on so few engines": [
            name for name in others if ratios[name].low <= 1 <= ratios[name].high
        ],
    }
    told = [how.format(", ".join(names)) for how, names in groups.items() if names]
    mends = f"{first} mends {best.confirmed:.0%} of the engines in {best.minutes.mean:.0f} minutes on average"
    return f"Verdict: {'; '.join([mends, *told])}."


def _data(
    world: World, complaint: str, scores: Mapping[str, Score], ratios: Mapping[str, Interval]
) -> dict[str, Any]:
    return {
        "machine": world.machine.id,
        "complaint": complaint,
        "seed": world.seed,
        "off_by": world.factor,
        "wrong_answers": world.slips,
        "give_up_minutes": world.give_up,
        "planners": [
            {"planner": name, **asdict(one), "first_over_this": asdict(ratios[name])}
            for name, one in scores.items()
        ],
    }


def _lines(scores: Mapping[str, Score], ratios: Mapping[str, Interval]) -> Iterator[str]:
    first = next(iter(scores))
    yield (
        f"{'':24}{'minutes (95 %)':>22}{'9 in 10':>9}{'steps':>7}{'mended':>8}{'wrong':>7}"
        f"{'first of 3':>12}   {first} takes"
    )
    for name, one in scores.items():
        minutes, share = one.minutes, ratios[name]
        after = max(one.after, key=lambda mark: mark.answers if mark.answers <= 3 else -1)
        compared = "" if name == first else f"{share.mean:6.0%} ({share.low:.0%} to {share.high:.0%}) of this"
        yield (
            f"{name:24}{minutes.mean:8.1f} ({minutes.low:.1f} to {minutes.high:.1f})".ljust(46)
            + f"{one.minutes_p90:9.0f}{one.steps:7.1f}{one.confirmed:8.0%}{one.wrong_repairs:7.2f}"
            + f"{after.top_three:12.0%}   {compared}"
        )
    best = scores[first]
    end = best.after[-1]
    yield (
        f"\nAfter {end.answers} answers of {first}: "
        f"log loss {end.log_loss:.2f}, Brier score {end.brier:.2f}.\n"
        f"Calibration error {best.calibration_error:.1%}."
    )
    yield verdict(scores, ratios)
