"""The planner on the shipped library: how quick the next step is, and what it saves against other ways."""

from __future__ import annotations

from dataclasses import replace
from time import perf_counter

import numpy as np

from bench.table import Row, at_most
from kickover.authoring import load_or_raise, shipped_folder
from kickover.core.ids import EventId, MachineId
from kickover.inference.belief import Belief
from kickover.inference.compiled_model import compile_model
from kickover.model.library import Library
from kickover.planning.job_state import Job, job_at_start
from kickover.simulation.baselines import planner
from kickover.simulation.scores import ratio, score
from kickover.simulation.simulated_walk import Act, Engine, Walked, simulate
from kickover.simulation.trial_pool import run_all
from kickover.simulation.trials import World, trials

WALKS = 300
BLOCK = 50
RIVALS = ("expert-order", "information-per-minute", "probability-first", "cheapest-first", "random")
WORLDS = (
    ("will-not-start", "four-stroke-49"),
    ("will-not-start", "clip-on-two-stroke"),
    ("starts-then-dies", "clip-on-two-stroke"),
    ("no-power", "points-moped"),
)
ROBUSTNESS = 200
BARS = {"expert-order": 0.70, "information-per-minute": 0.90}
"""For the library as a whole; a single complaint may do better or worse."""


def rows() -> list[Row]:
    """Next-step times, then the planner's minutes over those of others, with paired intervals."""
    library = load_or_raise(shipped_folder())
    found = [row for machine in ("clip-on-two-stroke", "four-stroke-49") for row in _times(library, machine)]
    together: dict[str, list[Walked]] = {}
    for complaint, machine in WORLDS:
        world = World(library.machines[MachineId(machine)], (EventId(complaint),), seed=1)
        results = _walked(library, world, ("kickover", *RIVALS), WALKS)
        found += _compared(f"{complaint}, {machine}", results, {})
        for name, walked in results.items():
            together.setdefault(name, []).extend(walked)
    return [*found, *_compared("all of these together", together, BARS), *_misjudged(library)]


def _times(library: Library, machine: str) -> list[Row]:
    model = compile_model(library, library.machines[MachineId(machine)], [EventId("will-not-start")])
    choose = planner(library.settings.give_up_minutes)
    spent: list[float] = []

    def timed(belief: Belief, job: Job) -> Act:
        start = perf_counter()
        act = choose(belief, job)
        spent.append(perf_counter() - start)
        return act

    engines = [Engine(model, 3, number, 0.0) for number in range(20)]
    simulate(model, engines, timed, job_at_start(model), library.settings.give_up_minutes)
    times = np.array(spent) * 1000.0
    what = f"next step on walks, will not start, {machine} ({model.hypotheses.count} hypotheses)"
    return [
        at_most(f"{what}: median", float(np.median(times)), 20.0, " ms"),
        at_most("  95th percentile", float(np.quantile(times, 0.95)), 20.0, " ms"),
    ]


def _compared(what: str, results: dict[str, list[Walked]], bars: dict[str, float]) -> list[Row]:
    """The planner's minutes, and their ratio to each rival's on the same engines with its 95 % interval."""
    ours = results["kickover"]
    found = [Row(f"{what}: minutes", f"{score(ours).minutes.mean:.1f}")]
    for name in RIVALS:
        share = ratio(ours, results[name])
        value = f"{share.mean:.2f} ({share.low:.2f} to {share.high:.2f})"
        bar = bars.get(name)
        missed = None if bar is None else share.mean > bar
        found.append(Row(f"  minutes over {name}", value, f"at most {bar}" if bar else "", missed))
    return found


def _misjudged(library: Library) -> list[Row]:
    """With rates and errors off by up to 3, and one answer in ten wrong."""
    world = World(
        library.machines[MachineId("four-stroke-49")],
        (EventId("will-not-start"),),
        seed=1,
        factor=3.0,
        slips=0.1,
    )
    own = _walked(library, replace(world, factor=1.0, slips=0.0), ("kickover",), ROBUSTNESS)["kickover"]
    results = _walked(library, world, ("kickover", "expert-order", "information-per-minute"), ROBUSTNESS)
    ours = results["kickover"]
    found = [
        Row(
            "numbers off by up to 3 and 10 % wrong answers: minutes, mended",
            f"{score(ours).minutes.mean:.1f}, {score(ours).confirmed:.0%}",
        ),
        Row("  with right numbers", f"{score(own).minutes.mean:.1f}, {score(own).confirmed:.0%}"),
    ]
    for name in ("expert-order", "information-per-minute"):
        share = ratio(ours, results[name])
        found.append(Row(f"  minutes over {name}", f"{share.mean:.2f} ({share.low:.2f} to {share.high:.2f})"))
    return found


def _walked(library: Library, world: World, names: tuple[str, ...], walks: int) -> dict[str, list[Walked]]:
    wanted = list(trials(names, world, walks, BLOCK))
    results: dict[str, list[Walked]] = {name: [] for name in names}
    for trial, walked in zip(wanted, run_all(library, wanted), strict=True):
        results[trial.planner] += walked
    return results
