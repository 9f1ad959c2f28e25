"""A world rougher than the library's own, and whether the minutes that a walk says are those that it takes.

Every complaint on two machines, on the bench, where nobody gives up because a repair takes long; the same
engines for every way of choosing. `WALKS` in the environment is how many engines there are for each.
"""

from __future__ import annotations

import os
from collections.abc import Sequence

import numpy as np

from bench.table import Row, at_least, at_most
from kickover.authoring import load_or_raise, shipped_folder
from kickover.core.ids import EventId, MachineId
from kickover.inference.belief import prior_belief
from kickover.inference.compiled_model import compile_model
from kickover.model.library import Library
from kickover.planning.job_state import job_at_start
from kickover.planning.plan import plan
from kickover.simulation.scores import ratio, score
from kickover.simulation.simulated_walk import Walked
from kickover.simulation.trial_pool import run_all
from kickover.simulation.trials import Trial, World, rough

WALKS = int(os.environ.get("WALKS", "20"))
MACHINES = ("clip-on-two-stroke", "points-moped", "four-stroke-49", "electric-step-through")
RIVALS = {"expert-order": 0.70, "information-per-minute": 0.90}


def rows() -> list[Row]:
    """Mended or named, the first three, wrong credit, and the minutes over those of others."""
    library = load_or_raise(shipped_folder())
    worlds = [rough(world) for world in _worlds(library)]
    ours = _walked(library, "kickover", worlds)
    together = [walked for walks in ours for walked in walks]
    total = score(together)
    found = [
        at_least(
            f"rough world, bench, {len(worlds)} courses, {len(together)} engines: mended or named first",
            100.0 * total.mended_or_named,
            88.0,
            " %",
        ),
        at_least("  a true cause in the first three at the end", 100.0 * total.three_at_end, 93.0, " %"),
        at_most("  a cure laid to a wrong cause", 100.0 * total.wrong_credit, 3.0, " %"),
        Row("  mended; minutes", f"{100.0 * total.confirmed:.0f} %; {total.minutes.mean:.0f}"),
        Row("  courses, mended or named under 88 %", _below(worlds, ours)),
    ]
    for rival, bar in RIVALS.items():
        known = [
            number
            for number, world in enumerate(worlds)
            if rival != "expert-order" or world.complaints[0] in library.expert_orders
        ]
        theirs = _walked(library, rival, [worlds[number] for number in known])
        share = ratio(_numbered([ours[number] for number in known]), _numbered(theirs))
        named = score([walked for walks in theirs for walked in walks]).mended_or_named
        value = f"{share.mean:.2f} ({share.low:.2f} to {share.high:.2f}); it mends or names {named:.0%}"
        found.append(Row(f"  minutes over {rival}", value, f"at most {bar}", share.mean > bar))
    return found


def said_rows() -> list[Row]:
    """Minutes said at the start over minutes taken, in the library's own world."""
    library = load_or_raise(shipped_folder())
    found = []
    for place, price in (
        ("road", library.settings.give_up_minutes),
        ("bench", library.settings.bench_give_up_minutes),
    ):
        worlds = _worlds(library, price)
        taken = [score(walks).minutes for walks in _walked(library, "kickover", worlds)]
        shares = np.array(
            [_said(library, world) / minutes.mean for world, minutes in zip(worlds, taken, strict=True)]
        )
        chance = np.array([(minutes.high - minutes.mean) / 1.96 / minutes.mean for minutes in taken])
        spread = float(np.sqrt(max(np.log(shares).var() - np.mean(chance**2), 0.0)))
        within = float(np.mean((shares >= 0.9) & (shares <= 1.1)))
        low, middle, high = np.quantile(shares, [0.05, 0.5, 0.95])
        found += [
            at_least(
                f"minutes said over taken, {place}: courses within 0.9 to 1.1", 100.0 * within, 100.0, " %"
            ),
            Row("  said over taken: median, and 90 % of courses", f"{middle:.2f}, {low:.2f} to {high:.2f}"),
            Row("  spread of courses beyond the chance of so few engines", f"{100.0 * spread:.0f} %"),
        ]
    return found


def _worlds(library: Library, price: float | None = None) -> list[World]:
    """Each complaint on the first two of the machines that can have it."""
    give_up = library.settings.bench_give_up_minutes if price is None else price
    found = []
    for number, complaint in enumerate(library.complaints):
        turned = MACHINES[number % len(MACHINES) :] + MACHINES[: number % len(MACHINES)]
        able = [name for name in turned if _can_have(library, name, complaint)]
        found += [
            World(library.machines[MachineId(name)], (complaint,), give_up=give_up, seed=7)
            for name in able[:2]
        ]
    return found


def _can_have(library: Library, machine: str, complaint: EventId) -> bool:
    return library.machines[MachineId(machine)].fits(library.complaints[complaint].gate.only_if)


def _said(library: Library, world: World) -> float:
    model = compile_model(library, world.machine, world.complaints)
    return plan(prior_belief(model), job_at_start(model), world.give_up).usual


def _walked(library: Library, planner: str, worlds: Sequence[World]) -> list[list[Walked]]:
    return list(run_all(library, [Trial(planner, world, 0, WALKS) for world in worlds]))


def _numbered(walks: Sequence[Sequence[Walked]]) -> list[Walked]:
    """All walks in an order that is the same for every way of choosing."""
    return [walked for course in walks for walked in sorted(course, key=lambda walked: walked.engine)]


def _below(worlds: Sequence[World], ours: Sequence[Sequence[Walked]]) -> str:
    low = [
        f"{world.complaints[0]} {world.machine.id} {share:.0%}"
        for world, walks in zip(worlds, ours, strict=True)
        if (share := score(walks).mended_or_named) < 0.88
    ]
    return f"{len(low)} of {len(worlds)}: {'; '.join(low)}" if low else f"none of {len(worlds)}"
