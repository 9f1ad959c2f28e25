"""What else could be done now: other steps to pick, and other repairs of the same cause."""

from __future__ import annotations

from dataclasses import dataclass

from kickover.core.ids import CheckId, ItemId
from kickover.model.library import Repair
from kickover.planning.job_state import missing, step_cost
from kickover.planning.plan import StepKind
from kickover.session.session import Session


@dataclass(frozen=True, slots=True)
class OtherStep:
    """A step that could be taken now instead; for a repair, the chance that it cures the fault."""

    id: str
    title: str
    minutes: float
    chance: float | None = None


@dataclass(frozen=True, slots=True)
class OtherRepair:
    """Another repair of the same cause: its minutes, and what it needs that is not at hand."""

    repair: Repair
    minutes: float
    missing: tuple[ItemId, ...]


def options(session: Session, checks: int = 5, repairs: int = 4) -> tuple[OtherStep, ...]:
    """The best checks and the likeliest repairs that can be done now, besides the step that is asked."""
    asked = session.task()
    now = {asked.id, asked.toward.id if asked.toward else ""}
    planned = [step for step in session.plan().steps if step.kind is StepKind.CHECK and step.id not in now]
    found = [
        OtherStep(step.id, session.model.checks[CheckId(step.id)].title, step.step_cost.minutes)
        for step in planned[:checks]
    ]
    likely: list[OtherStep] = []
    for id_, repair in session.model.repairs.items():
        chance = session.belief.cured_by(id_)
        if chance < 0.01 or id_ in now or id_ in session.job.barred:
            continue
        taken = step_cost(session.library, session.job, repair.needs)
        if taken is not None:
            likely.append(OtherStep(id_, repair.title, taken.minutes, chance))
    likely.sort(key=lambda one: (-(one.chance or 0.0), one.minutes, one.id))
    return (*found, *likely[:repairs])


def other_ways(session: Session, repair: Repair, most: int = 3) -> tuple[OtherRepair, ...]:
    """The other repairs of the cause for which `repair` is offered, what can be done now first."""
    marginals = session.belief.marginals()
    cures = [cause for cause in repair.cures if cause in marginals]
    if not cures:
        return ()
    cause = max(cures, key=lambda cure: (marginals[cure], cure))
    ways = [
        OtherRepair(other, other.needs.minutes, missing(session.job, other.needs))
        for id_, other in session.model.repairs.items()
        if id_ != repair.id
        and cause in other.cures
        and id_ not in session.job.barred
        and id_ not in session.belief.made
    ]
    ways.sort(key=lambda way: (bool(way.missing), way.minutes, way.repair.id))
    return tuple(ways[:most])
