"""Other ways of choosing the next step, to compare the planner with.

All of them repair as soon as one repair is likely enough to end the complaint, give up when no listed cause
fits any more or no repair is worth its minutes, and otherwise check; they differ in which check comes first.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from kickover.core.ids import CheckId, RepairId
from kickover.inference.belief import Belief
from kickover.inference.hypotheses import Floats
from kickover.planning.build_problem import build_decision_problem
from kickover.planning.decision_problem import DecisionProblem
from kickover.planning.job_state import Job
from kickover.planning.lookahead import Effort
from kickover.planning.one_step import OneStepValues, one_step_values
from kickover.planning.plan import WALKING, Step, StepKind, plan
from kickover.planning.put_off import pays_before_proof
from kickover.simulation.simulated_walk import Act, Choosing


@dataclass(frozen=True, slots=True)
class PlannerView:
    """What a way of choosing looks at: the problem from here and its one-step values."""

    belief: Belief
    problem: DecisionProblem
    one_step_values: OneStepValues

    def checks(self) -> list[int]:
        """The checks that can be made and tell something, by position."""
        return np.flatnonzero(np.isfinite(self.one_step_values.check_values)).tolist()


Picking = Callable[[PlannerView], int | None]
"""Picks a check by its position in the problem, or None when there is none left to make."""


def planner(give_up: float, effort: Effort = WALKING) -> Choosing:
    """The planner itself."""

    def choose(belief: Belief, job: Job) -> Act:
        step = plan(belief, job, give_up, effort).next
        match step.kind:
            case StepKind.CHECK:
                return Act(check=CheckId(step.id))
            case StepKind.REPAIR:
                return Act(repairs=_before_one_proof(belief, step, give_up, effort))
            case StepKind.GIVE_UP:
                return Act()

    return choose


def _before_one_proof(belief: Belief, first: Step, give_up: float, effort: Effort) -> tuple[RepairId, ...]:
    made: tuple[RepairId, ...] = ()
    step: Step | None = first
    while step is not None:
        made = (*made, RepairId(step.id))
        job = step.step_cost.after
        step = pays_before_proof(belief, job, made, plan(belief.after_all(made), job, give_up, effort))
    return made


def checking(pick: Picking, give_up: float, sure: float) -> Choosing:
    """Make the checks that `pick` names until one repair ends the complaint with a probability of `sure`."""

    def choose(belief: Belief, job: Job) -> Act:
        if not belief.fits:
            return Act()
        problem = build_decision_problem(belief, job, give_up)
        view = PlannerView(belief, problem, one_step_values(problem))
        repair, chance = _likeliest_repair(view)
        if repair is not None and chance >= sure:
            return Act(repairs=(repair,))
        check = pick(view)
        if check is not None:
            return Act(check=CheckId(problem.checks[check]))
        worth_most = _worth_most(view)
        return Act() if worth_most is None else Act(repairs=(worth_most,))

    return choose


def fixed_order(order: Sequence[CheckId]) -> Picking:
    """The first check of a written order that can still be made."""

    def pick(view: PlannerView) -> int | None:
        able = {view.problem.checks[check]: check for check in view.checks()}
        return next((able[check] for check in order if check in able), None)

    return pick


def cheapest_first(view: PlannerView) -> int | None:
    """The check that takes the fewest minutes."""
    minutes = view.one_step_values.check_minutes
    return min(view.checks(), key=lambda check: (round(float(minutes[check]), 9), check), default=None)


def probability_first(view: PlannerView) -> int | None:
    """The check that tells most about the likeliest repair, whatever it takes.

    That is the mutual information of its finding and "this repair ends it".
    """
    leading = int(np.argmax(view.one_step_values.mass[:-1])) if len(view.one_step_values.mass) > 1 else None
    if leading is None:
        return None

    def told(check: int) -> float:
        after = view.one_step_values.by_group[check]
        with_it = after[:, leading]
        split = np.stack([with_it, np.maximum(after.sum(axis=1) - with_it, 0.0)])
        return round(_information(split), 9)

    return max(view.checks(), key=lambda check: (told(check), -check), default=None)


def information_per_minute(view: PlannerView) -> int | None:
    """The check that tells most, a minute, about which repair ends it (de Kleer and Williams 1987)."""
    minutes = view.one_step_values.check_minutes

    def rate(check: int) -> float:
        told = _information(view.one_step_values.by_group[check].T)
        return round(told / max(float(minutes[check]), 0.1), 9)

    best = max(view.checks(), key=lambda check: (rate(check), -check), default=None)
    return best if best is not None and rate(best) > 0.0 else None


def at_random(seed: int) -> Picking:
    """Any check, each as likely; the same one wherever the same is known."""

    def pick(view: PlannerView) -> int | None:
        able = view.checks()
        if not able:
            return None
        state = [seed, len(able), int(view.belief.unlisted * 1e12)]
        return able[int(np.random.default_rng(state).integers(len(able)))]

    return pick


def _information(joint: Floats) -> float:
    """The mutual information of two variables in bits, from their joint masses."""
    total = float(joint.sum())
    shares = joint / total
    apart = shares.sum(axis=1, keepdims=True) * shares.sum(axis=0, keepdims=True)
    there = shares > 0.0
    return float((shares[there] * np.log2(shares[there] / apart[there])).sum())


def _likeliest_repair(view: PlannerView) -> tuple[RepairId | None, float]:
    mass = view.one_step_values.mass[:-1]
    if not len(mass):
        return None, 0.0
    best = int(np.argmax(mass))
    return RepairId(view.problem.repairs[view.one_step_values.offered[best]]), float(mass[best])


def _worth_most(view: PlannerView) -> RepairId | None:
    """The repair to begin with when only repairs are left, or None when giving up is cheaper."""
    values = view.one_step_values.repair_values
    if not len(values) or float(values.min()) >= view.problem.give_up - 1e-9:
        return None
    return RepairId(view.problem.repairs[int(np.argmin(values))])
