"""From a belief and a job to the decision problem that a plan solves.

Only the likeliest hypotheses take part, with what repairs may leave of them, those that no check tells apart
and that the same repairs cure as one. That is for planning alone: the belief itself keeps them all.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from kickover.core.ids import CheckId, EventId, RepairId
from kickover.inference.belief import Belief
from kickover.inference.compiled_model import Model
from kickover.inference.hypotheses import ENDED, UNLISTED, Floats, Hypotheses, mixing_factors
from kickover.inference.repair_effect import removals
from kickover.model.library import Check, names_in
from kickover.model.truth import Bits, where
from kickover.planning.decision_problem import DecisionProblem, Masks, Moves
from kickover.planning.job_state import Job
from kickover.planning.step_costs import JobState, StepCostModel, compile_step_costs

HYPOTHESES = 512
"""At most so many hypotheses take part in a plan; what is dropped is the least likely of them."""

DROPPED = 1e-5
"""The share of the mass that may always be left out of a plan."""


@dataclass(frozen=True, slots=True)
class JobCosts:
    """What the checks and repairs of one problem take, by their rows in the model's outlays."""

    step_costs: StepCostModel
    check_rows: NDArray[np.intp]
    repair_rows: NDArray[np.intp]

    def check_minutes(self, job_states: Sequence[JobState]) -> Floats:
        """The minutes of each check from each job state."""
        return np.stack([costs.minutes[self.check_rows] for costs in self.step_costs.check_costs(job_states)])

    def repair_minutes(self, job_states: Sequence[JobState]) -> Floats:
        """The minutes of each repair with its proof from each job state."""
        return np.stack(
            [costs.minutes[self.repair_rows] for costs in self.step_costs.repair_costs(job_states)]
        )

    def after_check(self, job_state: JobState, check: int) -> tuple[JobState, ...]:
        """The job state after each finding of a check, with the dangers that it shows."""
        return self.step_costs.after_check(job_state, int(self.check_rows[check]))

    def after_repair(self, job_state: JobState, repair: int) -> JobState:
        """The job state once a repair has failed its proof."""
        return self.step_costs.repair_costs([job_state])[0].after(int(self.repair_rows[repair]))

    def later(self, job_state: JobState) -> Floats:
        """The minutes of each repair after another one has failed, the hands being somewhere else."""
        costs = self.step_costs.repair_costs([self.step_costs.after_proof(job_state)])[0]
        move = self.step_costs.library.settings.spot_minutes
        moves = [move if self.step_costs.repairs.spots[row] else 0.0 for row in self.repair_rows]
        return np.asarray(costs.minutes[self.repair_rows] + np.array(moves))

    def offering(self, repairs: Sequence[int], checks: Sequence[int]) -> JobCosts:
        """What only some of the steps take."""
        return replace(
            self, check_rows=self.check_rows[list(checks)], repair_rows=self.repair_rows[list(repairs)]
        )

    def lowest(self) -> Floats:
        """The minutes of each repair and its proof when nothing has to be prepared."""
        step_costs = self.step_costs
        return np.asarray(step_costs.repairs.minutes[self.repair_rows] + step_costs.proof.minutes[0])


def build_decision_problem(
    belief: Belief, job: Job, give_up: float, most: int = HYPOTHESES
) -> DecisionProblem:
    """The decision problem of `belief` and `job`, with steps in the order of their ids.

    Left out are steps that cannot be made from here, checks that were made or that show the same whatever
    is wrong, and repairs that cure nothing that is still possible.
    """
    rows = with_remaining(belief.model.hypotheses, likeliest(belief.posterior, most))
    return _build(belief, job, give_up, rows, telling_now=True, merging=True)


def build_whole_problem(belief: Belief, job: Job, give_up: float) -> DecisionProblem:
    """The decision problem with every hypothesis, none merged: for the exact optimum of small models."""
    rows = np.flatnonzero(belief.posterior > 0.0)
    rows = np.union1d(rows, np.arange(len(belief.posterior) - UNLISTED, len(belief.posterior)))
    rows = with_remaining(belief.model.hypotheses, rows)
    problem = _build(belief, job, give_up, rows, telling_now=False, merging=False)
    costs = problem.costs
    assert isinstance(costs, JobCosts)
    model = belief.model
    hypotheses = only(model.hypotheses, rows)
    checks = [model.checks[CheckId(name)] for name in problem.checks]

    def relined(job_state: JobState) -> Masks:
        houses = costs.step_costs.check_costs([job_state])[0].houses
        return lines_of(hypotheses, checks, [houses[row] for row in costs.check_rows])

    return replace(problem, relined=relined)


def _build(
    belief: Belief, job: Job, give_up: float, rows: NDArray[np.intp], *, telling_now: bool, merging: bool
) -> DecisionProblem:
    """The problem with the hypotheses in `rows`, and the checks that tell them apart now, or all.

    With `merging`, hypotheses are one where no check tells them apart and the same repairs cure them.
    """
    model = belief.model
    hypotheses = only(model.hypotheses, rows)
    step_costs = step_costs_of(model, job)
    start = step_costs.job_state(job)
    ids = tuple(model.checks)
    costs = step_costs.check_costs([start])[0]
    usable = [
        row
        for row, id_ in _telling(model)
        if id_ not in job.made and id_ not in job.barred and np.isfinite(costs.minutes[row])
    ]
    usable.sort(key=lambda row: ids[row])
    states = [costs.houses[row] for row in usable]
    checks = [model.checks[ids[row]] for row in usable]
    lines = lines_of(hypotheses, checks, states)
    telling = np.arange(len(usable))
    if telling_now:
        telling = np.flatnonzero((lines[:, :-UNLISTED] != lines[:, :1]).any(axis=1))
    names = [ids[usable[row]] for row in telling]
    lines = lines[telling]
    repairs, works = _repairs(model, step_costs, job, start, belief)
    order = {id_: row for row, id_ in enumerate(model.repairs)}
    mass = belief.posterior[rows]
    kind = first = np.arange(len(rows), dtype=np.intp)
    if merging:
        alike, _ = _kinds(np.ascontiguousarray(works.T))
        traits = np.vstack([lines, hypotheses.persists, alike[hypotheses.members].T]).astype(np.int64)
        kind, first = _kinds(traits.T)
        mass = np.bincount(kind, weights=mass, minlength=len(first)).astype(np.float64)
    ends, keeps, moves = _effects(works, hypotheses, rows, kind, first)
    return DecisionProblem(
        mass=mass / mass.sum(),
        members=hypotheses.members[first],
        persists=hypotheses.persists[first],
        works=works,
        ends=ends,
        keeps=keeps,
        moves=moves,
        checks=tuple(names),
        tables=tuple(model.chances[name] for name in names),
        lines=lines[:, first],
        repairs=repairs,
        costs=JobCosts(
            step_costs,
            np.array([usable[row] for row in telling], dtype=np.intp),
            np.array([order[RepairId(id_)] for id_ in repairs], dtype=np.intp),
        ),
        start=start,
        give_up=give_up,
    )


def step_costs_of(model: Model, job: Job) -> StepCostModel:
    """The compiled outlays for the kit of a job; the model remembers them."""
    barred = frozenset(one for one in job.barred if one in model.library.setups)
    key = ("outlays", job.kit, barred)
    if key not in model.memory:
        model.memory[key] = compile_step_costs(
            model.library,
            model.library.complaints[model.hypotheses.complaints[0]],
            model.checks,
            model.repairs,
            job.kit,
            barred,
        )
    known = model.memory[key]
    assert isinstance(known, StepCostModel)
    return known


def _telling(model: Model) -> tuple[tuple[int, CheckId], ...]:
    """The checks, with their rows, whose lines differ and mention anything that hypotheses differ in."""
    if "telling" not in model.memory:
        structure = model.hypotheses.structure
        known = {gate.event for gate in structure.gates} | set(structure.causes)
        model.memory["telling"] = tuple(
            (row, id_)
            for row, (id_, check) in enumerate(model.checks.items())
            if (model.chances[id_][:, :-1] != model.chances[id_][:, :1]).any()
            and any(EventId(name) in known for line in check.lines for name in names_in(line.when))
        )
    known_checks = model.memory["telling"]
    assert isinstance(known_checks, tuple)
    return known_checks


def likeliest(posterior: Floats, most: int) -> NDArray[np.intp]:
    """The rows to plan with, in order: the likeliest, at most `most`, and always the unlisted ones."""
    listed = posterior[:-UNLISTED]
    rows = np.flatnonzero(listed > 0.0)
    if len(rows) >= most:
        rows = rows[np.argpartition(listed[rows], -most)[-most:]]
    rows = rows[np.argsort(-listed[rows], kind="stable")]
    kept = int(np.searchsorted(np.cumsum(listed[rows]), float(listed.sum()) - DROPPED)) + 1
    return np.append(np.sort(rows[:kept]), np.arange(len(posterior) - UNLISTED, len(posterior)))


def with_remaining(hypotheses: Hypotheses, rows: NDArray[np.intp]) -> NDArray[np.intp]:
    """The rows, in order, with all that repairs may leave of them."""
    wanted = np.zeros(hypotheses.count, dtype=bool)
    wanted[rows] = True
    left = hypotheses.remaining[rows]
    wanted[left[left != ENDED]] = True
    return np.flatnonzero(wanted)


def only(hypotheses: Hypotheses, rows: NDArray[np.intp]) -> Hypotheses:
    """Some of the hypotheses; the last of `rows` must be the unlisted ones.

    What remains of them is given as rows of the whole.
    """
    opened = hypotheses.open_links[:, rows >> 3] >> (7 - (rows & 7)).astype(np.uint8) & 1
    return replace(
        hypotheses,
        members=hypotheses.members[rows],
        open_links=np.packbits(opened, axis=1),
        remaining=hypotheses.remaining[rows],
        prior=hypotheses.prior[rows],
    )


def lines_of(
    hypotheses: Hypotheses,
    checks: Sequence[Check],
    states: Sequence[frozenset[EventId]],
) -> Masks:
    """The line of each check that holds under each hypothesis, as `Model.line_positions`: (checks, K)."""
    truths: dict[frozenset[EventId], Mapping[EventId, Bits]] = {}
    width = hypotheses.width
    nowhere = np.zeros(width, dtype=np.uint8)
    rows: list[Bits] = []
    owners: list[tuple[int, int]] = []
    for number, (check, state) in enumerate(zip(checks, states, strict=True)):
        if state not in truths:
            truths[state] = hypotheses.truth(state)
        look_up = _looking_up(truths[state], nowhere)
        taken = nowhere
        for place, line in enumerate(check.lines[:-1]):
            met = where(line.when, look_up, width)
            rows.append(met & ~taken)
            owners.append((number, place))
            taken = taken | met
    lasts = np.array([len(check.lines) - 1 for check in checks], dtype=np.uint8)
    positions = np.repeat(lasts[:, None], hypotheses.count, axis=1)
    if rows:
        flags = np.unpackbits(np.stack(rows), axis=1, count=hypotheses.count)
        row, hypothesis = np.nonzero(flags)
        number, place = np.array(owners, dtype=np.intp).T
        positions[number[row], hypothesis] = place[row]
    positions[:, -1] = lasts + 1
    return positions


def _looking_up(truth: Mapping[EventId, Bits], otherwise: Bits) -> Callable[[str], Bits]:
    return lambda name: truth.get(EventId(name), otherwise)


def _repairs(
    model: Model, step_costs: StepCostModel, job: Job, start: JobState, belief: Belief
) -> tuple[tuple[str, ...], Floats]:
    """The repairs that can be made now and may cure something, and their chances: (repairs, causes + 1).

    One that was made already does nothing more.
    """
    alive = {cause for cause, mass in belief.marginals().items() if mass > 0.0}
    minutes = step_costs.repair_costs([start])[0].minutes
    ids = sorted(
        id_
        for row, (id_, repair) in enumerate(model.repairs.items())
        if id_ not in job.barred
        and id_ not in belief.made
        and np.isfinite(minutes[row])
        and not alive.isdisjoint(repair.cures)
    )
    causes = len(model.hypotheses.structure.causes)
    return tuple(ids), np.array([model.works[id_] for id_ in ids]).reshape(len(ids), causes + 1)


def _effects(
    works: Floats,
    hypotheses: Hypotheses,
    rows: NDArray[np.intp],
    kind: NDArray[np.intp],
    first: NDArray[np.intp],
) -> tuple[Floats, Floats, Moves]:
    """What the repairs end, keep and move among the `first` of each kind; `rows` are rows of the model."""
    place = np.full(int(rows[-1]) + 2, ENDED, dtype=np.intp)
    place[rows] = kind
    ends = np.zeros((len(works), len(first)))
    keeps = np.ones((len(works), len(first)))
    found: list[NDArray[np.float64]] = []
    for mended, left, chance in removals(works[:, hypotheses.members[first]], hypotheses.remaining[first]):
        target = place[left]
        gone = target == ENDED
        ends[:, gone] += chance[:, gone]
        if not mended:
            keeps = np.where(gone, 0.0, chance)
            continue
        repair, source = np.nonzero(np.where(gone, 0.0, chance))
        found.append(np.vstack([repair, source, target[source], chance[repair, source]]))
    table = np.hstack(found)
    table = table[:, np.lexsort((table[1], table[0]))]
    repair, source, target = table[:3].astype(np.intp)
    return ends, keeps, Moves(repair, source, target, table[3])


def _kinds(rows: NDArray[np.int64] | Floats) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """The kind of each row, equal rows being of a kind, and the first row of each kind, in order.

    Rows are told apart by a hash: rows that differ share it with a chance of about one in 10^19.
    """
    whole = rows.view(np.uint64) if rows.dtype == np.float64 else rows.astype(np.uint64)
    hashes = (whole + np.uint64(1)) @ mixing_factors(rows.shape[1])
    order = np.argsort(hashes, kind="stable")
    fresh = np.flatnonzero(np.diff(hashes[order], prepend=~hashes[order[:1]]))
    first = np.sort(order[fresh])
    kind = np.empty(len(rows), dtype=np.intp)
    kind[order] = np.repeat(np.searchsorted(first, order[fresh]), np.diff(fresh, append=len(rows)))
    return kind, first
