"""The decision problem of a plan says the same as the belief and the job that it is made from."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from kickover.core.ids import CheckId, EventId, MachineId, RepairId
from kickover.inference.belief import Belief, prior_belief
from kickover.inference.compiled_model import EngineState, compile_model
from kickover.inference.hypotheses import UNLISTED
from kickover.model.library import Library
from kickover.planning.build_problem import DROPPED, build_decision_problem, build_whole_problem, likeliest
from kickover.planning.job_state import Job


@pytest.fixture(scope="module")
def start(shipped: Library) -> Belief:
    return prior_belief(
        compile_model(shipped, shipped.machines[MachineId("points-moped")], [EventId("no-spark-seen")])
    )


def test_every_finding_is_as_likely_as_the_model_says(start: Belief) -> None:
    job = Job(start.model.hypotheses.houses)
    problem = build_decision_problem(start, job, 180.0, most=10**6)
    for position, name in enumerate(problem.checks):
        check = CheckId(name)
        predicted = problem.chances(position) @ problem.mass
        houses = start.model.hypotheses.houses
        if problem.costs.after_check(problem.start, position)[0].houses != houses:
            continue
        state = EngineState(houses)
        rows = np.eye(len(start.model.checks[check].findings))
        exact = [float(start.posterior @ start.model.likelihood(check, list(row), state)) for row in rows]
        assert predicted == pytest.approx(exact, abs=2 * DROPPED)


def test_repairs_do_in_the_problem_what_they_do_to_the_belief(start: Belief) -> None:
    job = Job(start.model.hypotheses.houses)
    problem = build_decision_problem(start, job, 180.0, most=10**6)
    state = EngineState(job.houses)
    for number, name in enumerate(problem.repairs):
        repair = RepairId(name)
        failed = problem.failed(problem.mass, number)
        assert problem.ends[number] @ problem.mass == pytest.approx(start.cured_by(repair), abs=2 * DROPPED)
        assert failed.sum() == pytest.approx(1.0 - start.cured_by(repair), abs=2 * DROPPED)
        after = start.after_repair(repair)
        for position, check in enumerate(problem.checks[:12]):
            if problem.costs.after_check(problem.start, position)[0].houses != job.houses:
                continue
            shown = problem.chances(position) @ failed / failed.sum()
            rows = np.eye(len(shown))
            likelihoods = [start.model.likelihood(CheckId(check), list(row), state) for row in rows]
            exact = [float(after.posterior @ likelihood) for likelihood in likelihoods]
            assert shown == pytest.approx(exact, abs=1e-3)


def test_a_repair_that_failed_is_not_offered_again(start: Belief) -> None:
    job = Job(start.model.hypotheses.houses)
    repair = RepairId(build_decision_problem(start, job, 180.0).repairs[0])
    assert repair not in build_decision_problem(start.after_repair(repair), job, 180.0).repairs


def test_only_a_sliver_is_dropped_where_all_hypotheses_may_stay(start: Belief) -> None:
    rows = likeliest(start.posterior, 10**6)
    assert start.posterior[rows].sum() >= 1.0 - DROPPED
    assert set(range(len(start.posterior) - UNLISTED, len(start.posterior))) <= set(rows.tolist())


def test_the_unlikeliest_are_dropped_first(start: Belief) -> None:
    rows = likeliest(start.posterior, 40)
    dropped = np.delete(start.posterior, rows)
    assert len(rows) <= 40 + UNLISTED
    assert dropped.max() <= start.posterior[rows[:-UNLISTED]].min()


def test_merging_keeps_the_mass_and_what_every_check_would_show(start: Belief) -> None:
    job = Job(start.model.hypotheses.houses)
    whole = build_whole_problem(start, job, 180.0)
    merged = build_decision_problem(start, job, 180.0, most=10**6)
    assert len(merged.mass) < len(whole.mass)
    assert merged.mass.sum() == pytest.approx(1.0)
    for number, check in enumerate(merged.checks):
        shown = merged.chances(number) @ merged.mass
        assert shown == pytest.approx(whole.chances(whole.checks.index(check)) @ whole.mass, abs=2 * DROPPED)


def test_the_order_in_which_steps_were_written_does_not_matter(start: Belief) -> None:
    model = start.model
    turned = replace(
        model,
        checks=dict(list(model.checks.items())[::-1]),
        repairs=dict(list(model.repairs.items())[::-1]),
        memory={},
    )
    job = Job(model.hypotheses.houses)
    one, other = (
        build_decision_problem(start, job, 180.0),
        build_decision_problem(Belief(turned, start.posterior), job, 180.0),
    )
    assert one.checks == other.checks
    assert one.repairs == other.repairs
    assert (one.lines == other.lines).all()
    assert one.costs.check_minutes([one.start]) == pytest.approx(other.costs.check_minutes([other.start]))
