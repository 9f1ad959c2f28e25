"""What comfort costs: expected minutes with the least troublesome of nearly equal steps, and with the best.

The same simulated engines meet both ways of choosing. Bar: 1.5 % of the mean minutes (own choice).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from bench.table import Row, at_most
from kickover.authoring import load_or_raise, shipped_folder
from kickover.core.ids import EventId, MachineId
from kickover.inference.compiled_model import compile_model
from kickover.model.library import Library
from kickover.planning.job_state import job_at_start
from kickover.simulation.baselines import planner
from kickover.simulation.simulated_walk import Engine, simulate

COURSES = (
    ("clip-on-two-stroke", "will-not-start"),
    ("four-stroke-49", "no-power"),
    ("points-moped", "no-spark-seen"),
    ("roller-two-stroke", "bogs"),
)
ENGINES = 25
MOST_COST = 1.5


def rows() -> list[Row]:
    """The cost over all courses, and the share of first steps that differ."""
    library = load_or_raise(shipped_folder())
    plain = replace(library, settings=replace(library.settings, comfort_minutes=0.0))
    spent: Mapping[str, list[float]] = {"comfort": [], "plain": []}
    for machine, complaint in COURSES:
        for name, used in (("comfort", library), ("plain", plain)):
            spent[name].extend(_minutes(used, machine, complaint))
    comfort, best = np.array(spent["comfort"]), np.array(spent["plain"])
    cost = 100.0 * (comfort.mean() / best.mean() - 1.0)
    error = 100.0 * float((comfort - best).std(ddof=1)) / np.sqrt(len(best)) / best.mean()
    return [
        at_most(
            f"comfort, {len(best)} engines, cost (+- {error:.1f} % standard error)", cost, MOST_COST, " %"
        ),
        Row(
            "minutes a walk with comfort, and with the best step", f"{comfort.mean():.1f}, {best.mean():.1f}"
        ),
        Row("walks that took other minutes", f"{np.mean(comfort != best):.0%}"),
    ]


def _minutes(library: Library, machine: str, complaint: str) -> list[float]:
    model = compile_model(library, library.machines[MachineId(machine)], [EventId(complaint)])
    engines = [Engine(model, 3, number, slips=0.0) for number in range(ENGINES)]
    job = job_at_start(model)
    give_up = library.settings.give_up_minutes
    return [walked.minutes for walked in simulate(model, engines, planner(give_up), job, give_up)]
