"""The minutes of many steps at once are those of one step at a time."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from kickover.core.ids import EventId, KitId, MachineId, SetupId
from kickover.inference.compiled_model import Model, compile_model
from kickover.model.library import Library
from kickover.planning.build_problem import step_costs_of
from kickover.planning.job_state import Job, StepCost, proof_needs, step_cost


def jobs_met_on_a_walk(model: Model, kit: str | None, seed: int) -> list[Job]:
    """Some jobs as steps leave them: each step taken from the job after the one before."""
    library = model.library
    items = None if kit is None else library.kits[KitId(kit)].items
    job = Job(model.hypotheses.houses, items)
    rng = np.random.default_rng(seed)
    needs = [check.needs for check in model.checks.values()] + [
        repair.needs for repair in model.repairs.values()
    ]
    jobs = [job]
    while len(jobs) < 12:
        taken = step_cost(library, job, needs[rng.integers(len(needs))])
        if taken is not None:
            job = taken.after
            jobs.append(job)
    return jobs


def repaired(model: Model, job: Job, first: StepCost) -> StepCost | None:
    library = model.library
    complaint = library.complaints[model.hypotheses.complaints[0]]
    proof = step_cost(library, first.after, proof_needs(library, first.after, complaint))
    return None if proof is None else replace(proof, minutes=first.minutes + proof.minutes)


@pytest.mark.parametrize("complaint", ["will-not-start", "no-power", "dies-when-hot"])
@pytest.mark.parametrize("kit", [None, "bench", "empty-pockets"])
def test_all_steps_at_once_take_what_they_take_one_by_one(
    shipped: Library, complaint: str, kit: str | None
) -> None:
    model = compile_model(shipped, shipped.machines[MachineId("four-stroke-49")], [EventId(complaint)])
    for job in jobs_met_on_a_walk(model, kit, seed=3):
        step_costs = step_costs_of(model, job)
        job_state = step_costs.job_state(job)
        checks, repairs = step_costs.check_costs([job_state])[0], step_costs.repair_costs([job_state])[0]
        for row, check in enumerate(model.checks.values()):
            alone = step_cost(shipped, job, check.needs)
            assert np.isfinite(checks.minutes[row]) == (alone is not None)
            if alone is not None:
                assert checks.minutes[row] == pytest.approx(alone.minutes, abs=1e-9)
                assert checks.after(row) == step_costs.job_state(alone.after)
        for row, repair in enumerate(model.repairs.values()):
            first = step_cost(shipped, job, repair.needs)
            alone = None if first is None else repaired(model, job, first)
            assert np.isfinite(repairs.minutes[row]) == (alone is not None)
            if alone is not None:
                assert repairs.minutes[row] == pytest.approx(alone.minutes, abs=1e-9)
                assert repairs.after(row) == step_costs.job_state(alone.after)


def test_a_barred_setup_bars_the_steps_that_need_it(shipped: Library) -> None:
    model = compile_model(shipped, shipped.machines[MachineId("four-stroke-49")], [EventId("will-not-start")])
    job = Job(model.hypotheses.houses, barred=frozenset({SetupId("plug-out")}))
    step_costs = step_costs_of(model, job)
    minutes = step_costs.check_costs([step_costs.job_state(job)])[0].minutes
    checks = model.checks.values()
    needing = [row for row, check in enumerate(checks) if SetupId("plug-out") in check.needs.setups]
    assert needing
    assert np.isinf(minutes[needing]).all()


def test_what_a_finding_shows_is_in_place_afterwards(shipped: Library) -> None:
    model = compile_model(shipped, shipped.machines[MachineId("four-stroke-49")], [EventId("will-not-start")])
    job = Job(model.hypotheses.houses)
    step_costs = step_costs_of(model, job)
    shown = 0
    for row, check in enumerate(model.checks.values()):
        taken = step_cost(shipped, job, check.needs)
        if taken is None:
            continue
        for finding, job_state in zip(
            check.findings, step_costs.after_check(step_costs.job_state(job), row), strict=True
        ):
            after = replace(taken.after, in_place=taken.after.in_place | frozenset(finding.leaves))
            assert job_state == step_costs.job_state(after)
            shown += bool(finding.leaves)
    assert shown
