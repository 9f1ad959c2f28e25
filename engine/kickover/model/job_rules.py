"""What a step must not find: the states of the job that forbid to run, ride or look for a spark.

An author says of each setup what it forbids; the steps that run the engine, take it on the road or crank it
for a spark are known by their hazards. So no step has to list every part that may be off.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import TypeVar

from kickover.core.ids import HazardId, SetupId
from kickover.model.steps import Check, Needs, Repair, Setup

RUNS = HazardId("exhaust-gas")
"""The hazard of a step that runs the engine."""
RIDES = HazardId("road")
"""The hazard of a step on the road."""
SPARKS = HazardId("high-voltage")
"""The hazard of a step that cranks for a spark."""

K = TypeVar("K")
S = TypeVar("S", Check, Repair)


def with_job_rules(steps: Mapping[K, S], setups: Mapping[SetupId, Setup]) -> dict[K, S]:
    """The steps with all that they must not find added to what their authors listed."""
    return {id_: replace(step, needs=_ruled(step, setups)) for id_, step in steps.items()}


def forbidden(step: Check | Repair, setups: Mapping[SetupId, Setup]) -> tuple[SetupId, ...]:
    """The setups in which a step may not be made, but for those that it needs itself.

    A repair may have the road as its hazard because a wheel comes off after it; its proof is a step of its
    own, and that looks for what is off.
    """
    hazards = set(step.needs.hazards)
    rides = RIDES in hazards and isinstance(step, Check)
    needed = closure(step.needs.setups, setups)
    return tuple(
        setup.id
        for setup in setups.values()
        if setup.id not in needed
        and (
            (rides and setup.comes_back)
            or (setup.stops_running and (rides or RUNS in hazards))
            or (setup.spoils_spark and SPARKS in hazards)
        )
    )


def _ruled(step: Check | Repair, setups: Mapping[SetupId, Setup]) -> Needs:
    undone = dict.fromkeys((*step.needs.undone, *forbidden(step, setups)))
    return replace(step.needs, undone=tuple(undone))


def closure(wanted: Iterable[SetupId], setups: Mapping[SetupId, Setup]) -> frozenset[SetupId]:
    """The setups that are wanted, and those that they need in turn."""
    found: set[SetupId] = set()
    waiting = list(wanted)
    while waiting:
        setup = waiting.pop()
        if setup in setups and setup not in found:
            found.add(setup)
            waiting.extend(setups[setup].needs.setups)
    return frozenset(found)
