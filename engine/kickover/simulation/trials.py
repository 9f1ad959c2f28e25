"""Trials: many simulated engines under one way of choosing steps, reproducible from their seed.

A trial is a value and runs by itself, so that trials can be spread over processes; which process runs one
changes nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from kickover.core.ids import CheckId, EventId, ItemId
from kickover.core.problem import KickoverError
from kickover.inference.compiled_model import compile_model
from kickover.model.library import Library, Machine
from kickover.planning.job_state import job_at_start
from kickover.simulation import baselines
from kickover.simulation.misspecified_library import misspecified_library, with_pairs
from kickover.simulation.simulated_walk import Choosing, Engine, Walked, simulate


class TrialError(KickoverError):
    """A trial that cannot be run: an unknown planner, or no expert order for the complaint."""


SURE = 0.3
"""How likely a repair must be to end the complaint before a baseline makes it; 0.5 and 0.7 did worse."""


@dataclass(frozen=True, slots=True)
class World:
    """Where engines are simulated.

    `factor` is how far rates and chances of error may really be off, `slips` the share of answers that are
    wrong, `unsure` that of checks of which the rider can tell nothing. Engines come in blocks; with a
    `factor` above 1 each block is off in its own way. `pairs`, where given, is the share of engines with two
    causes, half of which brought one another (`with_pairs`).
    """

    machine: Machine
    complaints: tuple[EventId, ...]
    given: frozenset[EventId] = frozenset()
    kit: frozenset[ItemId] | None = None
    give_up: float = 180.0
    seed: int = 0
    factor: float = 1.0
    slips: float = 0.0
    unsure: float = 0.0
    pairs: float | None = None


def rough(world: World) -> World:
    """The same engines where more goes wrong than the library reckons with.

    Rates and errors are off by up to 3, one answer in ten is a misreading, which comes again when asked
    again, one check in eight ends in "not sure", and 6 in 100 engines have two causes (estimates).
    """
    return replace(world, factor=3.0, slips=0.1, unsure=0.125, pairs=0.06)


@dataclass(frozen=True, slots=True)
class Trial:
    """One block of engines of a world, from `first` on, under one way of choosing."""

    planner: str
    world: World
    first: int
    count: int


PLANNERS: Mapping[str, Callable[[Library, World], Choosing]] = {
    "kickover": lambda _, world: baselines.planner(world.give_up),
    "expert-order": lambda library, world: baselines.checking(
        baselines.fixed_order(expert_order(library, world.complaints[0])), world.give_up, SURE
    ),
    "information-per-minute": lambda _, world: baselines.checking(
        baselines.information_per_minute, world.give_up, SURE
    ),
    "probability-first": lambda _, world: baselines.checking(
        baselines.probability_first, world.give_up, SURE
    ),
    "cheapest-first": lambda _, world: baselines.checking(baselines.cheapest_first, world.give_up, SURE),
    "random": lambda _, world: baselines.checking(baselines.at_random(world.seed), world.give_up, SURE),
}
"""The ways of choosing that can be compared."""


def trials(planners: Sequence[str], world: World, walks: int, block: int) -> Iterator[Trial]:
    """The trials of `walks` engines for each planner, in blocks."""
    for planner in planners:
        for first in range(0, walks, block):
            yield Trial(planner, world, first, min(block, walks - first))


def run(library: Library, trial: Trial) -> list[Walked]:
    """Run one trial. Raises TrialError when its planner is not known or has no order to follow."""
    if trial.planner not in PLANNERS:
        raise TrialError(f"there is no planner {trial.planner!r}; there are {', '.join(PLANNERS)}")
    world = trial.world
    choose = PLANNERS[trial.planner](library, world)
    believed = compile_model(library, world.machine, world.complaints, world.given)
    real = believed
    if world.factor > 1.0:
        off = misspecified_library(library, world.seed + trial.first, world.factor)
        if world.slips:
            off = replace(off, settings=replace(off.settings, slips={}))
        real = compile_model(off, world.machine, world.complaints, world.given)
    chances = None if world.pairs is None else with_pairs(real, world.pairs)
    engines = []
    for number in range(trial.first, trial.first + trial.count):
        row = None
        if chances is not None:
            row = int(np.random.default_rng([world.seed, number, 2]).choice(len(chances), p=chances))
        engines.append(Engine(real, world.seed, number, world.slips, row, world.unsure))
    return simulate(believed, engines, choose, job_at_start(believed, world.kit), world.give_up)


def expert_order(library: Library, complaint: EventId) -> tuple[CheckId, ...]:
    """The fixed order of checks that the library gives for a complaint. Raises TrialError without one."""
    order = library.expert_orders.get(complaint)
    if order is None:
        raise TrialError(f"the library has no expert order for {complaint!r}; add one under `expert-orders:`")
    return order.checks
