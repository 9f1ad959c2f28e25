"""The state of the job, and what the next step costs from there.

Pulling the plug costs once; then every check with the plug out is cheap, until it has to go back in. Dangers
(fuel vapour about) are states too: a step that they block costs the minutes of ending them first.
"""

from __future__ import annotations

from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from itertools import combinations

from kickover.core.ids import CheckId, EventId, ItemId, RepairId, SetupId
from kickover.inference.compiled_model import Model
from kickover.model.library import Complaint, Condition, Library, Needs, holds
from kickover.model.situation import with_event


@dataclass(frozen=True, slots=True)
class Job:
    """Where the work stands.

    `in_place` are setups and dangers that hold now; `spot` is where the hands are; `kit` the tools and
    spares at hand, None for everything; `made` the checks already made; `barred` the steps that cannot be
    done.
    """

    houses: frozenset[EventId]
    kit: frozenset[ItemId] | None = None
    in_place: frozenset[SetupId] = frozenset()
    spot: str = ""
    made: frozenset[CheckId] = frozenset()
    barred: frozenset[CheckId | RepairId | SetupId] = frozenset()


def job_at_start(model: Model, kit: AbstractSet[ItemId] | None = None) -> Job:
    """The job before its first step: with what the `kit` serves as, and what the complaint settles made."""
    at_hand = None if kit is None else model.library.served_by(kit)
    return Job(model.hypotheses.houses, at_hand, made=model.settled)


@dataclass(frozen=True, slots=True)
class Preparation:
    """One thing to do before a step: put a setup in place, undo it, end a danger, or wait for a state."""

    setup: SetupId | None
    undo: bool
    wait_for: EventId | None
    minutes: float


@dataclass(frozen=True, slots=True)
class StepCost:
    """What a step takes from here: preparations in order, all minutes together, and the job afterwards."""

    preparations: tuple[Preparation, ...]
    minutes: float
    after: Job


def step_cost(library: Library, job: Job, needs: Needs) -> StepCost | None:
    """Work out what a step with `needs` takes, or None when it cannot be done from here."""
    if not at_hand(job, needs):
        return None
    waits = _waits(library, job.houses, needs.only_when)
    if waits is None:
        return None
    prepared: list[Preparation] = []
    now = job
    for event in waits:
        wait = library.houses[event].wait
        assert wait is not None
        prepared.append(Preparation(None, False, event, wait))
        now = replace(now, houses=with_event(library, now.houses, event))
    for setup in needs.undone:
        for one in _undoing(library, now, setup):
            prepared.append(Preparation(one, True, None, library.setups[one].undo_minutes))
            now = replace(now, in_place=now.in_place - {one})
    for setup in needs.setups:
        for one in _putting(library, now, setup):
            added = library.setups[one]
            if one in now.barred or not at_hand(now, added.needs):
                return None
            prepared.append(Preparation(one, False, None, added.needs.minutes))
            now = replace(now, in_place=now.in_place | {one, *added.needs.leaves})
    now = _without_dangers(library, now, needs, prepared)
    minutes = sum(one.minutes for one in prepared) + needs.minutes + _move(library, job, needs.spot)
    return StepCost(tuple(prepared), minutes, done(now, needs))


def proof_needs(library: Library, job: Job, complaint: Complaint) -> Needs:
    """What proving a repair needs from here: everything back that came off, and no danger about."""
    undone = tuple(setup for setup in sorted(job.in_place) if library.setups[setup].comes_back)
    dangers = tuple(setup for setup in sorted(job.in_place) if library.setups[setup].danger)
    proof = complaint.proof
    return Needs(
        minutes=proof.minutes, setups=proof.needs, undone=undone, not_during=dangers, hazards=proof.hazards
    )


def at_hand(job: Job, needs: Needs) -> bool:
    """Tell whether the kit has every tool and spare of a step."""
    return job.kit is None or (job.kit.issuperset(needs.tools) and job.kit.issuperset(needs.spares))


def missing(job: Job, needs: Needs) -> tuple[ItemId, ...]:
    """The tools and spares that a step needs and the kit lacks."""
    return (
        () if job.kit is None else tuple(one for one in (*needs.tools, *needs.spares) if one not in job.kit)
    )


def _without_dangers(library: Library, job: Job, needs: Needs, prepared: list[Preparation]) -> Job:
    """End the dangers that block the step: last of all, since setups may spill fuel themselves."""
    for danger in needs.not_during:
        if danger in job.in_place:
            prepared.append(Preparation(danger, True, None, library.setups[danger].needs.minutes))
            job = replace(job, in_place=job.in_place - {danger})
    return job


def done(job: Job, needs: Needs) -> Job:
    """The job after a step, its preparations already made."""
    in_place = (job.in_place - frozenset(needs.clears)) | frozenset(needs.leaves)
    return replace(job, in_place=in_place, spot=needs.spot or job.spot)


def _move(library: Library, job: Job, spot: str) -> float:
    return library.settings.spot_minutes if spot and job.spot and spot != job.spot else 0.0


def _putting(library: Library, job: Job, setup: SetupId) -> list[SetupId]:
    """`setup` and all that it needs, deepest first, less what is in place."""
    if setup in job.in_place:
        return []
    below = [deeper for one in library.setups[setup].needs.setups for deeper in _putting(library, job, one)]
    return [*dict.fromkeys(below), setup]


def _undoing(library: Library, job: Job, setup: SetupId) -> list[SetupId]:
    """`setup` and all in place that needs it, outermost first."""
    if setup not in job.in_place:
        return []
    resting = [one for one in sorted(job.in_place) if setup in library.setups[one].needs.setups]
    above = [higher for one in resting for higher in _undoing(library, job, one)]
    return [*dict.fromkeys(above), setup]


def _waits(
    library: Library, houses: AbstractSet[EventId], condition: Condition
) -> tuple[EventId, ...] | None:
    """The fewest house events to wait for so that `condition` holds; None when waiting does not help."""
    able = [id_ for id_, house in library.houses.items() if house.wait is not None]
    for count in range(len(able) + 1):
        for waited in combinations(able, count):
            after = frozenset(houses)
            for event in waited:
                after = with_event(library, after, event)
            if holds(condition, after.__contains__):
                return waited
    return None
