"""What the walk makes of a plan: it holds to what was prepared for, and leaves out what cannot be done."""

from __future__ import annotations

from kickover.core.ids import CheckId, EventId, RepairId, SetupId
from kickover.inference.compiled_model import Model
from kickover.planning.job_state import Job, step_cost
from kickover.planning.plan import Plan, RankedSteps

StepId = CheckId | RepairId | SetupId

CLEARLY_BETTER = 0.02
"""The share of the expected minutes that another step must save, so that a preparation is left for it: on
the shipped library, what changes the order after a preparation is mostly below one part in a hundred."""


def held_to(planned: Plan, readied: str, model: Model, job: Job) -> Plan:
    """The plan with the step that was prepared for first, unless another is better by a clear margin."""
    first = planned.options[0]
    kept = next((option for option in planned.options if option.id == readied), first)
    if kept is first or kept.expected - first.expected > CLEARLY_BETTER * first.expected:
        return planned
    options = (kept, *(option for option in planned.options if option is not kept))
    return Plan(options, RankedSteps(options, planned.repairs_only, planned.least, planned.usual), model, job)


def with_resting(model: Model, job: Job) -> frozenset[StepId]:
    """The steps that the person said cannot be done, and those that rest on one of them."""
    library, barred = model.library, job.barred
    stuck = {one for one in barred if SetupId(one) in library.setups or EventId(one) in library.houses}
    if not stuck:
        return barred
    resting: set[StepId] = set()
    for group in (model.checks, model.repairs):
        for id_, known in group.items():
            taken = step_cost(library, job, known.needs)
            if taken and any(
                {preparation.setup, preparation.wait_for} & stuck for preparation in taken.preparations
            ):
                resting.add(id_)
    return barred | resting
