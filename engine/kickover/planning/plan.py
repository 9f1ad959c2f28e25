"""The next step: the one with the least expected minutes to a confirmed repair.

Every step is valued one step ahead, the best of them by looking further (`lookahead`). Checks, repairs and
giving up are all steps; a repair is also a check, since afterwards the complaint is gone or not.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

import numpy as np

from kickover.core.ids import CheckId, EventId, RepairId
from kickover.inference.belief import Belief
from kickover.inference.compiled_model import EngineState, Model
from kickover.model.conditions import names_in
from kickover.model.library import CheckKind, Needs
from kickover.planning.build_problem import build_decision_problem
from kickover.planning.decision_problem import DecisionProblem
from kickover.planning.job_state import Job, StepCost, step_cost
from kickover.planning.lookahead import Effort, look_ahead
from kickover.planning.one_step import OneStepValues, one_step_values

MINUTES_A_BIT = 12.0
BEYOND_SHARE = 0.25
EXPECTED_SHARE = 0.2
"""The weights of `usual_minutes`."""

_SHORT = 1.0
"""Minutes of a look that is still worth asking when the walk would stop for want of tools."""
_WORTH_ASKING = 0.1
"""Bits a minute that such a look must tell (estimate)."""

WALKING = Effort()
"""How far a walk looks ahead for each of its steps."""


class StepKind(StrEnum):
    """What the walk can ask for next."""

    CHECK = "check"
    REPAIR = "repair"
    GIVE_UP = "give-up"


_TIES = (StepKind.REPAIR, StepKind.GIVE_UP, StepKind.CHECK)
"""Of equals the earlier kind is taken: a check that saves nothing is not worth the trouble."""


@dataclass(frozen=True, slots=True)
class Step:
    """A step, what it takes, and the expected minutes to a confirmed repair if it is taken now."""

    kind: StepKind
    id: str
    step_cost: StepCost
    expected: float


@dataclass(frozen=True, slots=True)
class CandidateStep:
    """A step of a decision problem: its own minutes, and the expected minutes if it is taken now.

    `alone` are the expected minutes one step ahead, with repairs alone after it.
    """

    kind: StepKind
    id: str
    minutes: float
    expected: float
    alone: float


@dataclass(frozen=True, slots=True)
class RankedSteps:
    """The steps of a decision problem, best first.

    `repairs_only` are the expected minutes without any check, no plan can have fewer than `least`, and
    `usual` are those that walks from here really take.
    """

    options: tuple[CandidateStep, ...]
    repairs_only: float
    least: float
    usual: float


class Plan:
    """The steps that can be taken from here, best first.

    `repairs_only` are the expected minutes with repairs alone; no plan whatever can have fewer than `least`,
    so that the step in `next` is at most `next.expected - least` minutes from the best. Steps that tell
    nothing, or that another one does better in every way, are left out. `usual` are the minutes to say to a
    rider: what such walks take.
    """

    def __init__(
        self, options: tuple[CandidateStep, ...], choice: RankedSteps, model: Model, job: Job
    ) -> None:
        self.options = options
        self.repairs_only = choice.repairs_only
        self.least = choice.least
        self.usual = choice.usual
        self._model = model
        self._job = job

    @cached_property
    def next(self) -> Step:
        """The step to take."""
        return _step(self._model, self._job, self.options[0])

    @cached_property
    def steps(self) -> tuple[Step, ...]:
        """All steps with their outlays."""
        return (self.next, *(_step(self._model, self._job, option) for option in self.options[1:]))


def plan(belief: Belief, job: Job, give_up: float | None = None, effort: Effort = WALKING) -> Plan:
    """Value the steps from here and put the best first.

    `give_up` overrides what giving up costs by the library, in minutes.
    """
    model = belief.model
    price = model.library.settings.give_up_minutes if give_up is None else give_up
    choice = choose(build_decision_problem(belief, job, price), effort)
    options = _comfortable_first(belief, job, _free_looks_first(model, job, choice))
    if options[0].kind is StepKind.GIVE_UP and job.kit is not None:
        options = _telling_looks_first(belief, job, options)
    return Plan(options, choice, model, job)


def choose(problem: DecisionProblem, effort: Effort = WALKING) -> RankedSteps:
    """Value the steps of a problem whose mass is one, and put the best first."""
    surveyed = one_step_values(problem)
    ahead = look_ahead(problem, surveyed, effort)
    repair_minutes = problem.costs.repair_minutes([problem.start])[0]
    options = [CandidateStep(StepKind.GIVE_UP, "give-up", problem.give_up, problem.give_up, problem.give_up)]
    for kind, names, minutes, values, saved in (
        (StepKind.CHECK, problem.checks, surveyed.check_minutes, surveyed.check_values, ahead.checks),
        (StepKind.REPAIR, problem.repairs, repair_minutes, surveyed.repair_values, ahead.repairs),
    ):
        for position in np.flatnonzero(np.isfinite(values)).tolist():
            alone = float(values[position])
            expected = alone - saved.get(position, 0.0)
            options.append(CandidateStep(kind, names[position], float(minutes[position]), expected, alone))
    options.sort(key=_rank)
    expected = options[0].expected
    least = min(surveyed.least, expected)
    return RankedSteps(
        tuple(options), surveyed.repairs_only, least, usual_minutes(problem, surveyed, least, expected)
    )


def usual_minutes(problem: DecisionProblem, surveyed: OneStepValues, least: float, expected: float) -> float:
    """What walks from here take on average: less than `expected`, which repairs alone beyond its horizon.

    An estimate between the bounds: minutes for each bit that is not known about which repair ends it, and a
    part of giving up for what no repair ends. The weights are fitted to 24,000 states of simulated walks, 16
    engines on each of 70 pairs of machine and complaint, at the road's and the bench's cost of giving up.
    """
    shares = surveyed.mass[surveyed.mass > 0.0] / surveyed.mass.sum()
    bits = -float((shares * np.log2(shares)).sum())
    beyond = float(surveyed.mass[-1] / surveyed.mass.sum()) * problem.give_up
    return min(expected, least + MINUTES_A_BIT * bits + BEYOND_SHARE * beyond + EXPECTED_SHARE * expected)


def _rank(option: CandidateStep) -> tuple[float, int, float, str]:
    return (round(option.expected, 9), _TIES.index(option.kind), option.minutes, option.id)


def _step(model: Model, job: Job, option: CandidateStep) -> Step:
    needs: Needs
    match option.kind:
        case StepKind.CHECK:
            needs = model.checks[CheckId(option.id)].needs
        case StepKind.REPAIR:
            needs = model.repairs[RepairId(option.id)].needs
        case StepKind.GIVE_UP:
            return Step(option.kind, option.id, StepCost((), option.minutes, job), option.expected)
    taken = step_cost(model.library, job, needs)
    assert taken is not None, f"{option.id} was offered and cannot be made"
    return Step(option.kind, option.id, taken, option.expected)


def _free_looks_first(model: Model, job: Job, choice: RankedSteps) -> tuple[CandidateStep, ...]:
    """Before anything is taken apart, the free look that pays best.

    A question or a look that needs no tool and no preparation comes first when it saves three times its own
    minutes by itself (common practice, no source).
    """
    options = choice.options
    if options[0].kind is StepKind.GIVE_UP or not _takes_apart(model, job, options[0]):
        return options
    looks = [
        option for option in options if option.kind is StepKind.CHECK and _is_free_look(model, job, option)
    ]
    paying = [look for look in looks if look.alone + 2.0 * look.minutes <= choice.repairs_only]
    if not paying:
        return options
    first = min(paying, key=lambda look: (look.alone, look.id))
    return (first, *(other for other in options if other is not first))


def _comfortable_first(
    belief: Belief, job: Job, options: tuple[CandidateStep, ...]
) -> tuple[CandidateStep, ...]:
    """Of steps of one kind within the comfort minutes of the first, the one that is the least trouble.

    The regret of each step is bounded by that setting; since regret adds up over a walk, its cost on average
    is measured (`tests/bench/comfort.py`).
    """
    first = options[0]
    leaders = [ranked.cause for ranked in belief.ranking()[:1]]
    if first.kind is StepKind.GIVE_UP or not leaders:
        return options
    most = first.expected + belief.model.library.settings.comfort_minutes
    near = [option for option in options if option.kind is first.kind and option.expected <= most]
    if len(near) < 2:
        return options
    best = min(near, key=lambda option: _trouble(belief.model, job, option, leaders[0]))
    return (best, *(other for other in options if other is not best))


def _trouble(
    model: Model, job: Job, option: CandidateStep, leader: EventId
) -> tuple[bool, bool, bool, int, float]:
    """What a step asks: taking apart, tools, to look elsewhere than at the leading cause, words to read."""
    if option.kind is StepKind.CHECK:
        check = model.checks[CheckId(option.id)]
        watched = {name for line in check.lines for name in names_in(line.when)}
        words = [check.ask, *check.how, *(finding.title for finding in check.findings)]
        tools, straight = check.needs.tools, leader in watched
    else:
        repair = model.repairs[RepairId(option.id)]
        tools, straight = (*repair.needs.tools, *repair.needs.spares), leader in repair.cures
        words = list(repair.how)
    read = len(" ".join(words).split())
    return _takes_apart(model, job, option), bool(tools), not straight, read, option.expected


def _telling_looks_first(
    belief: Belief, job: Job, options: tuple[CandidateStep, ...]
) -> tuple[CandidateStep, ...]:
    """Where a tool is missing: before giving up, the free look that tells most of what to borrow or to say.

    What it tells is the mutual information of finding and cause (Shannon 1948), per minute.
    """
    told = {
        option: _information(belief, job, CheckId(option.id)) / option.minutes
        for option in options
        if option.kind is StepKind.CHECK
        and 0.0 < option.minutes <= _SHORT
        and _is_free_look(belief.model, job, option)
    }
    telling = [option for option, bits in told.items() if bits >= _WORTH_ASKING]
    if not telling:
        return options
    best = max(telling, key=lambda option: (told[option], option.id))
    return (best, *(other for other in options if other is not best))


def _information(belief: Belief, job: Job, check: CheckId) -> float:
    """What a check tells of the causes, in bits."""
    model, state = belief.model, EngineState(job.houses, belief.made)
    count = len(model.checks[check].findings)
    chances = np.array([model.likelihood(check, row, state) for row in np.eye(count).tolist()])
    joint = chances * belief.posterior
    alike = np.outer(joint.sum(axis=1), belief.posterior)
    told = joint > 0.0
    return float((joint[told] * np.log2(joint[told] / alike[told])).sum())


def _takes_apart(model: Model, job: Job, option: CandidateStep) -> bool:
    preparations = _step(model, job, option).step_cost.preparations
    return any(not preparation.undo and preparation.setup is not None for preparation in preparations)


def _is_free_look(model: Model, job: Job, option: CandidateStep) -> bool:
    check = model.checks[CheckId(option.id)]
    if check.needs.tools or check.kind not in {CheckKind.QUESTION, CheckKind.LOOK}:
        return False
    return not _step(model, job, option).step_cost.preparations
