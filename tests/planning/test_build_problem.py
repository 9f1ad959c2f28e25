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
from kickover.planning.build_problem import DROPPED, build_decision_problem, likeliest, merged
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


def test_cured_causes_are_no_longer_there(start: Belief) -> None:
    repair = RepairId(build_decision_problem(start, Job(start.model.hypotheses.houses), 180.0).repairs[0])
    after = start.after_repair(repair)
    problem = build_decision_problem(after, Job(start.model.hypotheses.houses), 180.0, most=10**6)
    hypotheses = start.model.hypotheses
    cured = np.array([cause in after.cured for cause in hypotheses.structure.causes] + [True])
    uncured = (~cured[hypotheses.members]).sum(axis=1)
    for count in range(hypotheses.members.shape[1] + 1):
        left = np.array([int(mask).bit_count() for mask in problem.left.tolist()])
        expected = after.posterior[uncured == count].sum()
        assert problem.mass[left == count].sum() == pytest.approx(expected, abs=2 * DROPPED)
    assert repair not in problem.repairs


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
    apart = build_decision_problem(start, job, 180.0, most=10**6)
    twice = merged(
        replace(apart.narrowed(np.repeat(np.arange(len(apart.mass)), 2)), mass=np.repeat(apart.mass / 2.0, 2))
    )
    assert len(twice.mass) == len(apart.mass)
    assert twice.mass == pytest.approx(apart.mass)
    assert (twice.lines == apart.lines).all()


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
