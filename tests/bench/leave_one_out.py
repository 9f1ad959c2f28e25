"""Engines with a cause that the library does not know: is it said, and is it told where to look?

A cause is taken from the library; an engine with it answers by the whole library, and the walk goes on the
bench with the short one, told at the start what is plainest of the cause. The same is done with known causes.
`WALKS` in the environment is how many of each there are.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from bench.table import Row, at_least, at_most
from kickover.authoring import load_or_raise, shipped_folder
from kickover.core.ids import CheckId, EventId, MachineId, RepairId
from kickover.inference.belief import Belief, Evidence, prior_belief
from kickover.inference.compiled_model import EngineState, Model, compile_model
from kickover.model.library import ALWAYS, Library, Machine, Not
from kickover.model.undeveloped import undeveloped_event
from kickover.planning.job_state import Job, job_at_start
from kickover.planning.plan import StepKind, plan
from kickover.simulation.simulated_walk import Engine

WALKS = int(os.environ.get("WALKS", "24"))
MACHINES = ("clip-on-two-stroke", "four-stroke-49", "points-moped")
MOST_STEPS = 40
NAMED = 3


@dataclass(frozen=True, slots=True)
class Ending:
    """What is believed at the end: places of the undeveloped events of the cause, and the unlisted share."""

    nearest: int
    above: int
    first_undeveloped: bool
    unlisted: float


def rows() -> list[Row]:
    """The bars of a list that is too short."""
    library = load_or_raise(shipped_folder())
    rng = np.random.default_rng(11)
    short = list(_walks(library, rng, known=False))
    whole = list(_walks(library, rng, known=True))
    near = 100.0 * float(np.mean([one.nearest < NAMED for one in short]))
    above = 100.0 * float(np.mean([one.above < NAMED for one in short]))
    wrong = 100.0 * float(np.mean([one.first_undeveloped for one in whole]))
    return [
        at_least(
            f"a cause left out, {len(short)} walks: its gate's event in the first three", near, 60.0, " %"
        ),
        Row("  that of its gate or of one above it in the first three", f"{above:.0f} %"),
        Row("  share given to unlisted causes, mean", f"{np.mean([one.unlisted for one in short]):.2f}"),
        at_most(f"a listed cause, {len(whole)} walks: an undeveloped event first", wrong, 5.0, " %"),
        Row("  share given to unlisted causes, mean", f"{np.mean([one.unlisted for one in whole]):.2f}"),
        *_reliability(short, whole),
    ]


def _reliability(short: list[Ending], whole: list[Ending]) -> Iterator[Row]:
    """Said against true share of unlisted causes, walks weighed as often as the library expects each kind."""
    settings = load_or_raise(shipped_folder()).settings
    share = settings.unlisted_share + settings.undeveloped_share
    said = np.array([one.unlisted for one in (*short, *whole)])
    weight = np.repeat([share / len(short), (1.0 - share) / len(whole)], [len(short), len(whole)])
    true = np.repeat([1.0, 0.0], [len(short), len(whole)])
    for low in np.arange(0.0, 1.0, 0.2):
        there = (said >= low) & (said < low + 0.2 + 1e-9)
        if there.any():
            mean = float(np.average(said[there], weights=weight[there]))
            fact = float(np.average(true[there], weights=weight[there]))
            about = f"  unlisted said {low:.1f} to {low + 0.2:.1f} ({int(there.sum())} walks): said, true"
            yield Row(about, f"{mean:.2f}, {fact:.2f}")


def _walks(library: Library, rng: np.random.Generator, *, known: bool) -> Iterator[Ending]:
    complaints = list(library.complaints)
    done = 0
    while done < WALKS:
        machine = library.machines[MachineId(MACHINES[int(rng.integers(len(MACHINES)))])]
        complaint = complaints[int(rng.integers(len(complaints)))]
        real = compile_model(library, machine, [complaint], listed=True)
        hypotheses = real.hypotheses
        single = np.flatnonzero((hypotheses.members >= 0).sum(axis=1) == 1)
        chance = hypotheses.prior[single] / hypotheses.prior[single].sum()
        row = int(rng.choice(single, p=chance if known else None))
        cause = hypotheses.causes_of(row)[0]
        believed = library if known else _without(library, cause)
        ending = _walked(real, row, believed, machine, complaint, int(rng.integers(2**31)))
        if ending is not None:
            done += 1
            yield ending


def _without(library: Library, cause: EventId) -> Library:
    """The library in which no machine can have the cause."""
    never = replace(library.causes[cause], only_if=Not(ALWAYS))
    return replace(library, causes={**library.causes, cause: never})


def _walked(
    real: Model, row: int, library: Library, machine: Machine, complaint: EventId, seed: int
) -> Ending | None:
    """Walk one engine; None where a repair of something else ended the complaint."""
    model = compile_model(library, machine, [complaint])
    engine = Engine(real, seed, 0, 0.0, row)
    belief, job = prior_belief(model), job_at_start(model)
    check = _plainest(real, row)
    belief, job = _answered(belief, job, engine, check)
    price = library.settings.bench_give_up_minutes
    for _ in range(MOST_STEPS):
        step = plan(belief, job, price).next
        if step.kind is StepKind.GIVE_UP or step.id.startswith("find-something-else"):
            break
        job = step.step_cost.after
        if step.kind is StepKind.CHECK:
            belief, job = _answered(belief, job, engine, CheckId(step.id))
            continue
        repair = RepairId(step.id)
        if engine.mended(belief.made | {repair}):
            cause = engine.causes[0]
            return None if cause not in model.hypotheses.structure.causes else _ending(belief, library, cause)
        belief = belief.after_repair(repair)
    return _ending(belief, library, engine.causes[0])


def _answered(belief: Belief, job: Job, engine: Engine, check: CheckId) -> tuple[Belief, Job]:
    state = EngineState(job.houses, belief.made)
    place = engine.shows(check, state)
    findings = belief.model.checks[check].findings
    weights = tuple(float(place == other) for other in range(len(findings)))
    leaves = frozenset(findings[place].leaves)
    job = replace(job, made=job.made | {check}, in_place=job.in_place | leaves)
    return belief.after(Evidence(check, weights, state)), job


def _plainest(real: Model, row: int) -> CheckId:
    """The check whose findings under the cause differ most from what is expected of the complaint."""
    state = EngineState(real.hypotheses.houses)

    def telling(check: CheckId) -> float:
        lines = real.line_positions(check, state)
        chances = real.chances[check]
        usual = chances @ np.bincount(lines, weights=real.hypotheses.prior, minlength=chances.shape[1])
        own = chances[:, lines[row]]
        return float((own * np.log(np.maximum(own, 1e-9) / usual)).sum())

    return max(sorted(real.checks), key=telling)


def _ending(belief: Belief, library: Library, cause: EventId) -> Ending:
    order = [one.cause for one in belief.ranking()]
    place = {one: number for number, one in enumerate(order)}
    nearest, above = _gates_over(belief.model.library, cause)
    return Ending(
        min((place.get(undeveloped_event(gate), len(order)) for gate in nearest), default=len(order)),
        min((place.get(undeveloped_event(gate), len(order)) for gate in above), default=len(order)),
        bool(order) and belief.model.library.causes[order[0]].undeveloped,
        belief.unlisted,
    )


def _gates_over(library: Library, cause: EventId) -> tuple[set[EventId], set[EventId]]:
    """The gates with an undeveloped event that are met first on the ways up from a cause, and all of them."""
    tops = {complaint.id: complaint.gate for complaint in library.complaints.values()}
    above: dict[EventId, list[EventId]] = {}
    for over in (*library.gates.values(), *tops.values()):
        for input_ in over.inputs:
            above.setdefault(input_.event, []).append(over.id)
    taken = {gate for gate in (*library.gates, *tops) if undeveloped_event(gate) in library.causes}
    nearest: set[EventId] = set()
    every: set[EventId] = set()
    waiting = [(gate, True) for gate in above.get(cause, [])]
    seen: set[tuple[EventId, bool]] = set()
    while waiting:
        gate, first = waiting.pop()
        if (gate, first) in seen:
            continue
        seen.add((gate, first))
        if gate in taken:
            every.add(gate)
            if first:
                nearest.add(gate)
        waiting += [(one, first and gate not in taken) for one in above.get(gate, [])]
    return nearest, every
