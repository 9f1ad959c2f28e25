"""The next step: what every plan keeps to."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kickover.core.ids import CheckId, EventId, MachineId, RepairId
from kickover.inference.belief import Belief, Evidence, prior_belief
from kickover.inference.compiled_model import EngineState, compile_model
from kickover.model.library import CheckKind, Library
from kickover.planning.decision_problem import DecisionProblem, FixedCosts, single_faults
from kickover.planning.job_state import Job
from kickover.planning.lookahead import Effort
from kickover.planning.plan import Plan, StepKind, choose, plan
from planning.small_problems import random_problem
from reference.exact_table import exact_table

seeds = st.integers(0, 10_000)
LITTLE = Effort(work=20_000)


def fixed(problem: DecisionProblem) -> FixedCosts:
    assert isinstance(problem.costs, FixedCosts)
    return problem.costs


@settings(max_examples=25, deadline=None)
@given(seeds, st.floats(1.0, 300.0))
def test_the_best_step_is_no_dearer_than_repairing_or_giving_up(seed: int, give_up: float) -> None:
    choice = choose(random_problem(seed, give_up=give_up), LITTLE)
    assert choice.options[0].expected <= choice.repairs_only + 1e-9
    assert choice.options[0].expected <= give_up + 1e-9


@settings(max_examples=25, deadline=None)
@given(seeds)
def test_the_optimum_lies_between_the_bound_and_what_the_best_step_promises(seed: int) -> None:
    problem = random_problem(seed, causes=(4, 7), checks=(3, 5))
    choice = choose(problem, LITTLE)
    least = exact_table(problem).least
    assert choice.least <= least + 1e-9
    assert least <= choice.options[0].expected + 1e-9


@settings(max_examples=20, deadline=None)
@given(seeds)
def test_looking_further_never_promises_more_minutes(seed: int) -> None:
    problem = random_problem(seed)
    promised = [choose(problem, Effort(work=work)).options[0].expected for work in (0, 5_000, 100_000)]
    assert promised == sorted(promised, reverse=True)


@settings(max_examples=20, deadline=None)
@given(seeds, st.floats(0.0, 5.0))
def test_a_check_that_shows_the_same_whatever_is_wrong_is_never_taken(seed: int, minutes: float) -> None:
    problem = random_problem(seed, causes=(3, 5), checks=(2, 3))
    costs = fixed(problem)
    useless = np.tile([[0.3], [0.7]], (1, len(problem.mass)))
    more = replace(
        problem,
        checks=(*problem.checks, "a-useless-one"),
        tables=(*problem.tables, useless),
        lines=np.vstack([problem.lines, problem.lines[:1]]),
        costs=FixedCosts(np.append(costs.checks, minutes), costs.repairs, (*costs.findings, 2)),
    )
    options = choose(more, LITTLE).options
    assert options[0].id != "a-useless-one"
    assert options[0].expected == pytest.approx(choose(problem, LITTLE).options[0].expected, rel=1e-3)


@settings(max_examples=20, deadline=None)
@given(seeds, st.sampled_from([0.25, 2.0, 60.0]))
def test_other_units_of_time_change_no_choice(seed: int, scale: float) -> None:
    problem = random_problem(seed)
    costs = fixed(problem)
    scaled = replace(
        problem,
        costs=FixedCosts(costs.checks * scale, costs.repairs * scale, costs.findings),
        give_up=problem.give_up * scale,
    )
    one, other = choose(problem, LITTLE).options[0], choose(scaled, LITTLE).options[0]
    assert one.id == other.id
    assert other.expected == pytest.approx(one.expected * scale, rel=1e-6)


@settings(max_examples=20, deadline=None)
@given(seeds)
def test_the_order_of_the_hypotheses_does_not_matter(seed: int) -> None:
    problem = random_problem(seed)
    rows = np.random.default_rng(seed).permutation(len(problem.mass))
    assert choose(problem.narrowed(rows), LITTLE).options[0].id == choose(problem, LITTLE).options[0].id


def test_the_same_question_has_the_same_answer() -> None:
    problem = random_problem(11)
    assert choose(problem, LITTLE) == choose(problem, LITTLE)


def test_a_time_budget_stops_the_search_with_a_plan_at_hand() -> None:
    problem = random_problem(7)
    at_once = choose(problem, Effort(stop=lambda: True))
    assert at_once.options[0].expected <= at_once.repairs_only
    assert at_once.options[0].expected >= choose(problem, Effort()).options[0].expected - 1e-9


def test_a_check_that_costs_nothing_and_tells_all_comes_first() -> None:
    even = np.array([0.5, 0.5])
    problem = single_faults(even, np.array([20.0, 20.0]), [np.eye(2)], np.array([0.0]), 500.0)
    best = choose(problem).options[0]
    assert best.kind is StepKind.CHECK
    assert best.expected == pytest.approx(20.0)


# --- on the shipped library ---


def planned(shipped: Library, complaint: str, give_up: float | None = None) -> tuple[Belief, Job, Plan]:
    model = compile_model(shipped, shipped.machines[MachineId("four-stroke-49")], [EventId(complaint)])
    belief, job = prior_belief(model), Job(model.hypotheses.houses)
    return belief, job, plan(belief, job, give_up)


@pytest.mark.parametrize("complaint", ["will-not-start", "no-power", "hard-to-turn"])
def test_shipped_plans_promise_no_more_than_repairing_or_giving_up(shipped: Library, complaint: str) -> None:
    _, _, found = planned(shipped, complaint)
    price = shipped.settings.give_up_minutes
    assert found.least <= found.next.expected <= min(found.repairs_only, price) + 1e-9


def test_a_walk_for_which_giving_up_is_free_is_given_up(shipped: Library) -> None:
    assert planned(shipped, "will-not-start", give_up=0.0)[2].next.kind is StepKind.GIVE_UP


def test_a_dearer_way_home_is_worth_more_minutes(shipped: Library) -> None:
    promised = [planned(shipped, "will-not-start", price)[2].next.expected for price in (30.0, 180.0, 600.0)]
    assert promised == sorted(promised)


def test_steps_carry_the_outlay_that_the_job_asks_for(shipped: Library) -> None:
    _, _, found = planned(shipped, "will-not-start")
    for option, step in zip(found.options, found.steps, strict=True):
        assert (option.kind, option.id, option.expected) == (step.kind, step.id, step.expected)
        if step.kind is StepKind.CHECK:
            assert option.minutes == pytest.approx(step.step_cost.minutes)


@pytest.mark.parametrize("complaint", ["will-not-start", "no-spark-seen", "bogs"])
def test_nothing_is_taken_apart_before_the_free_looks_that_pay(shipped: Library, complaint: str) -> None:
    """A look that saves three times its minutes by itself comes before any preparation."""
    found = planned(shipped, complaint)[2]
    free = {
        id_
        for id_, check in shipped.checks.items()
        if not check.needs.tools and check.kind in {CheckKind.QUESTION, CheckKind.LOOK}
    }
    paying = [
        step
        for step, option in zip(found.steps, found.options, strict=True)
        if step.id in free
        and not step.step_cost.preparations
        and option.alone + 2.0 * option.minutes <= found.repairs_only
    ]
    assert paying, "there is nothing to hold the rule on"
    assert found.next.step_cost.preparations == ()


def test_what_was_made_or_barred_is_not_asked_again(shipped: Library) -> None:
    belief, job, found = planned(shipped, "will-not-start")
    first = CheckId(found.next.id)
    for changed in (replace(job, made=frozenset({first})), replace(job, barred=frozenset({first}))):
        assert first not in {option.id for option in plan(belief, changed).options}


def test_a_walk_ends_whatever_is_found(shipped: Library) -> None:
    belief, job, found = planned(shipped, "hard-to-turn")
    for _ in range(200):
        step = found.next
        if step.kind is StepKind.GIVE_UP:
            break
        job = step.step_cost.after
        if step.kind is StepKind.CHECK:
            check = CheckId(step.id)
            count = len(belief.model.checks[check].findings)
            weights = (1.0,) + (0.0,) * (count - 1)
            belief = belief.after(Evidence(check, weights, EngineState(job.houses, belief.made)))
            job = replace(job, made=job.made | {check})
        else:
            belief = belief.after_repair(RepairId(step.id))
        found = plan(belief, job, effort=LITTLE)
    assert found.next.kind is StepKind.GIVE_UP
