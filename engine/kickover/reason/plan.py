"""The next step: the one with the least expected minutes to a confirmed repair.

Every check that can be made from here is valued one step ahead: its own minutes, and after each finding the
expected minutes of repairing in the best order, giving up included (decision-theoretic troubleshooting,
Heckerman, Breese and Rommelse 1995). A repair is valued as the first of the best order.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from kickover.ids import CheckId, RepairId
from kickover.library.model import CheckKind
from kickover.reason.belief import Belief
from kickover.reason.hypotheses import UNLISTED, Floats
from kickover.reason.job import Job, Outlay, outlay, proof_needs
from kickover.reason.model import EngineState, Model
from kickover.reason.repair_order import best_sequence, expected_minutes


OUT_OF_REACH = 1e9
"""Minutes of a repair that cannot be made from some state: finite, so that nothing times it is not a number."""


class StepKind(StrEnum):
    """What the walk can ask for next."""

    CHECK = "check"
    REPAIR = "repair"
    GIVE_UP = "give-up"


@dataclass(frozen=True, slots=True)
class Step:
    """A step, what it takes, and the expected minutes to a confirmed repair if it is taken now."""

    kind: StepKind
    id: str
    outlay: Outlay
    expected: float


@dataclass(frozen=True, slots=True)
class Plan:
    """The steps that can be taken from here, best first, and the expected minutes with repairs alone."""

    steps: tuple[Step, ...]
    repairs_only: float

    @property
    def next(self) -> Step:
        """The step to take."""
        return self.steps[0]


@dataclass(frozen=True, slots=True)
class RepairChoice:
    """The repairs that can be made from here: their ids, whole outlays, and the minutes with proof."""

    ids: tuple[RepairId, ...]
    outlays: tuple[Outlay, ...]
    minutes: Floats


def plan(belief: Belief, job: Job, give_up: float | None = None) -> Plan:
    """Value every step from here and put the best first. `give_up` overrides the library's price in minutes."""
    model = belief.model
    price = model.library.settings.give_up_minutes if give_up is None else give_up
    choice = repairs_from(model, job, belief)
    groups = _finishing_repair(belief, choice)
    size = len(choice.ids)
    mass = np.bincount(groups, weights=belief.posterior, minlength=size + 1)
    sequence = best_sequence(mass[:size], choice.minutes, float(mass[size]), price)
    steps = _checks(belief, job, groups, choice, price)
    if sequence.order:
        first = sequence.order[0]
        steps.append(Step(StepKind.REPAIR, choice.ids[first], choice.outlays[first], sequence.minutes))
    steps.append(Step(StepKind.GIVE_UP, "give-up", Outlay((), price, job), price))
    steps.sort(
        key=lambda step: (round(step.expected, 9), step.kind != StepKind.CHECK, step.outlay.minutes, step.id)
    )
    return Plan(tuple(_free_looks_first(model, steps, sequence.minutes)), sequence.minutes)


def repairs_from(model: Model, job: Job, belief: Belief) -> RepairChoice:
    """The repairs that can be made and proven from here and cure something that is still possible."""
    library = model.library
    complaint = library.complaints[model.hypotheses.complaints[0]]
    alive = {cause for cause, mass in belief.marginals().items() if mass > 0.0}
    ids: list[RepairId] = []
    outlays: list[Outlay] = []
    minutes: list[float] = []
    for id_, repair in model.repairs.items():
        if id_ in job.barred or alive.isdisjoint(repair.cures):
            continue
        work = outlay(library, job, repair.needs)
        if work is None:
            continue
        proof = outlay(library, work.after, proof_needs(library, work.after, complaint))
        if proof is None:
            continue
        ids.append(id_)
        outlays.append(work)
        minutes.append(max(work.minutes + proof.minutes, 1e-6))
    return RepairChoice(tuple(ids), tuple(outlays), np.array(minutes))


def _checks(
    belief: Belief, job: Job, groups: NDArray[np.intp], choice: RepairChoice, price: float
) -> list[Step]:
    """Value each check that can be made from here and whose findings could matter."""
    model = belief.model
    size = len(choice.ids) + 1
    offered: list[tuple[CheckId, Outlay]] = []
    masses: list[Floats] = []
    minutes: list[Floats] = []
    costs: dict[object, Floats] = {}
    for id_, check in model.checks.items():
        if id_ in job.made or id_ in job.barred:
            continue
        taken = outlay(model.library, job, check.needs)
        if taken is None:
            continue
        state = EngineState(taken.after.houses, belief.cured)
        lines = model.line_positions(id_, state).astype(np.intp)
        columns = model.chances[id_].shape[1]
        by_line = np.bincount(lines * size + groups, weights=belief.posterior, minlength=columns * size)
        offered.append((id_, taken))
        masses.append(model.chances[id_] @ by_line.reshape(columns, size))
        key = (taken.after.in_place, taken.after.houses)
        if key not in costs:
            costs[key] = _minutes_after(model, taken.after, choice)
        minutes.append(costs[key])
    return _valued(offered, masses, minutes, price)


def _valued(
    offered: Sequence[tuple[CheckId, Outlay]],
    masses: Sequence[Floats],
    minutes: Sequence[Floats],
    price: float,
) -> list[Step]:
    if not offered:
        return []
    stacked = np.vstack(masses)
    repeated = np.vstack([np.tile(one, (len(mass), 1)) for one, mass in zip(minutes, masses, strict=True)])
    values = expected_minutes(stacked[:, :-1], repeated, stacked[:, -1], price)
    starts = np.cumsum([0, *(len(mass) for mass in masses[:-1])])
    sums = np.add.reduceat(values, starts)
    return [
        Step(StepKind.CHECK, id_, taken, taken.minutes + float(value))
        for (id_, taken), value in zip(offered, sums, strict=True)
    ]


def _minutes_after(model: Model, job: Job, choice: RepairChoice) -> Floats:
    """The minutes of each repair with its proof, from another state of the job."""
    library = model.library
    complaint = library.complaints[model.hypotheses.complaints[0]]
    result = np.full(len(choice.ids), OUT_OF_REACH)
    for position, id_ in enumerate(choice.ids):
        work = outlay(library, job, model.repairs[id_].needs)
        proof = work and outlay(library, work.after, proof_needs(library, work.after, complaint))
        if work and proof:
            result[position] = max(work.minutes + proof.minutes, 1e-6)
    return result


def _finishing_repair(belief: Belief, choice: RepairChoice) -> NDArray[np.intp]:
    """For each hypothesis, the repair with which the complaint ends when all are made in greedy order.

    The position after the last repair stands for "none of them". Shape (H,).
    """
    hypotheses = belief.model.hypotheses
    names = hypotheses.structure.causes
    rank, repair_of = _greedy_cover(belief.marginals(), belief.model, choice, names)
    none = len(choice.ids)
    cured = np.array([name in belief.cured for name in names] + [True])
    ranks = np.where(cured, -1, rank)[hypotheses.members]
    finish = np.full(hypotheses.count, none, dtype=np.intp)
    best = np.full(hypotheses.count, np.iinfo(np.int64).max)
    powers = 1 << np.arange(hypotheses.members.shape[1])
    for column in range(hypotheses.members.shape[1]):
        reached = ranks[:, column]
        left = (ranks > reached[:, None]) @ powers
        ended = (hypotheses.persists >> left & 1) == 0
        better = ended & (reached < best) & (reached >= 0) & (reached < len(names) + none)
        best[better] = reached[better]
        finish[better] = repair_of[hypotheses.members[better, column]]
    finish[-UNLISTED:] = none
    return finish


def _greedy_cover(
    marginals: Mapping[str, float], model: Model, choice: RepairChoice, names: Sequence[str]
) -> tuple[NDArray[np.int64], NDArray[np.intp]]:
    """Give each cause to one repair, taking repairs by probability newly cured over minutes.

    The first array is each cause's place in that order (a place past every repair where none cures it), the
    second its repair; both end with an entry for "no cause".
    """
    mass = np.array([marginals.get(name, 0.0) for name in names])
    index = {name: position for position, name in enumerate(names)}
    cures = np.zeros((len(choice.ids), len(names)))
    for row, id_ in enumerate(choice.ids):
        for cause in model.repairs[id_].cures:
            if cause in index:
                cures[row, index[cause]] = 1.0
    never = len(names) + len(choice.ids)
    rank = np.full(len(names) + 1, never, dtype=np.int64)
    rank[-1] = -1
    repair_of = np.full(len(names) + 1, len(choice.ids), dtype=np.intp)
    open_causes = mass + 1e-12
    for place in range(len(choice.ids)):
        gain = cures @ open_causes / choice.minutes
        taken = int(np.argmax(gain))
        if gain[taken] <= 0.0:
            break
        newly = np.flatnonzero((cures[taken] > 0.0) & (open_causes > 0.0))
        rank[newly] = place
        repair_of[newly] = taken
        open_causes[newly] = 0.0
    return rank, repair_of


def _free_looks_first(model: Model, steps: Sequence[Step], repairs_only: float) -> list[Step]:
    """Before anything is taken apart, the best of the free looks that pays for its minutes."""
    first = steps[0]
    if not first.outlay.preparations or first.kind is StepKind.GIVE_UP:
        return list(steps)
    for step in steps:
        if step.kind is StepKind.CHECK and step.expected <= repairs_only and _is_free_look(model, step):
            return [step, *(other for other in steps if other is not step)]
    return list(steps)


def _is_free_look(model: Model, step: Step) -> bool:
    check = model.checks[CheckId(step.id)]
    return (
        not step.outlay.preparations
        and not check.needs.tools
        and check.kind
        in {
            CheckKind.QUESTION,
            CheckKind.LOOK,
        }
    )
