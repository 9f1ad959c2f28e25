"""What all steps take from many states of the job at once.

The rules are those of `job_state.step_cost`, as arrays over steps and setups: a plan asks for the minutes
of hundreds of steps from dozens of states, and adding them up one by one would be most of its time.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from kickover.core.ids import CheckId, EventId, ItemId, RepairId, SetupId
from kickover.inference.hypotheses import Floats
from kickover.model.library import Check, Complaint, Condition, Library, Needs, Repair
from kickover.planning.job_state import Job, at_hand, step_cost

Flags = NDArray[np.bool_]


class JobState(NamedTuple):
    """Where the work job states, as far as the next step's minutes depend on it.

    `in_place` holds the setups and dangers that hold now, one bit each, packed.
    """

    in_place: bytes
    spot: str
    houses: frozenset[EventId]


@dataclass(frozen=True, slots=True)
class StepCosts:
    """What each step takes from one job state, in minutes, infinite where it cannot be made."""

    minutes: Floats
    spot: str
    in_place: NDArray[np.uint8]
    spots: tuple[str, ...]
    houses: tuple[frozenset[EventId], ...]

    def after(self, step: int) -> JobState:
        """The job state after a step."""
        return JobState(self.in_place[step].tobytes(), self.spots[step] or self.spot, self.houses[step])


@dataclass(frozen=True, slots=True)
class _Steps:
    """Needs of many steps as arrays: shape (N,) or (N, setups)."""

    minutes: Floats
    at_hand: Flags
    spots: tuple[str, ...]
    spot_names: NDArray[np.str_]
    needed: Flags
    undone: Flags
    leaves: Flags
    clears: Flags
    blocked: Flags
    conditions: tuple[Condition, ...]


@dataclass(frozen=True, slots=True)
class _Setups:
    """The setups and dangers as arrays, shape (setups,) or (setups, setups).

    `above[s]` marks what rests on s, itself included.
    """

    putting: Floats
    undoing: Floats
    leaves: Flags
    above: Flags
    danger: Flags
    comes_back: Flags
    missing: Flags


@dataclass(frozen=True, slots=True)
class StepCostModel:
    """The outlays of the checks and repairs of one model with one kit, for a complaint's proof.

    A repair's outlay includes proving it. `leaves[check]` are the dangers that each finding of a check shows.
    Stands that were worked out are kept.
    """

    library: Library
    setup_ids: tuple[SetupId, ...]
    setups: _Setups
    checks: _Steps
    repairs: _Steps
    proof: _Steps
    leaves: tuple[tuple[tuple[SetupId, ...], ...], ...]
    _check_costs: dict[JobState, StepCosts] = field(default_factory=dict, repr=False)
    _repair_costs: dict[JobState, StepCosts] = field(default_factory=dict, repr=False)
    _shown: dict[tuple[JobState, int], tuple[JobState, ...]] = field(default_factory=dict, repr=False)
    _waits: dict[tuple[int, frozenset[EventId]], tuple[Floats, tuple[frozenset[EventId], ...]]] = field(
        default_factory=dict, repr=False
    )

    def job_state(self, job: Job) -> JobState:
        """The job state of a job."""
        return JobState(
            _packed(np.array([setup_id in job.in_place for setup_id in self.setup_ids])), job.spot, job.houses
        )

    def after_check(self, job_state: JobState, check: int) -> tuple[JobState, ...]:
        """The job state after each finding of a check, with the dangers that it shows."""
        key = (job_state, check)
        if key not in self._shown:
            after = self.check_costs([job_state])[0].after(check)
            self._shown[key] = tuple(self._with(after, leaves) for leaves in self.leaves[check])
        return self._shown[key]

    def after_proof(self, job_state: JobState) -> JobState:
        """A job state such as a failed proof leaves: the engine whole, dangers ended, hands anywhere."""
        _, now, _ = self._proved(self._flags(job_state)[None, None, :])
        return JobState(_packed(now[0, 0]), "", job_state.houses)

    def check_costs(self, job_states: Sequence[JobState]) -> list[StepCosts]:
        """What each check takes from each job state."""
        return self._costs_of(job_states, self.checks, self._check_costs, proving=False)

    def repair_costs(self, job_states: Sequence[JobState]) -> list[StepCosts]:
        """What each repair, with its proof, takes from each job state."""
        return self._costs_of(job_states, self.repairs, self._repair_costs, proving=True)

    def _with(self, job_state: JobState, leaves: Sequence[SetupId]) -> JobState:
        if not leaves:
            return job_state
        now = self._flags(job_state) | np.array([setup_id in leaves for setup_id in self.setup_ids])
        return JobState(_packed(now), job_state.spot, job_state.houses)

    def _costs_of(
        self,
        job_states: Sequence[JobState],
        steps: _Steps,
        known: dict[JobState, StepCosts],
        *,
        proving: bool,
    ) -> list[StepCosts]:
        new = [job_state for job_state in dict.fromkeys(job_states) if job_state not in known]
        if new:
            in_place = np.stack([self._flags(job_state) for job_state in new])[:, None, :]
            minutes, after, possible = self._done(in_place, steps)
            if proving:
                more, after, provable = self._proved(after)
                minutes = minutes + more
                possible = possible & provable
            packed = np.packbits(after, axis=2)
            for row, job_state in enumerate(new):
                spent = np.where(possible[row], minutes[row], np.inf)
                known[job_state] = self._cost_of(job_state, steps, spent, packed[row])
        return [known[job_state] for job_state in job_states]

    def _cost_of(
        self, job_state: JobState, steps: _Steps, minutes: Floats, packed: NDArray[np.uint8]
    ) -> StepCosts:
        waits, houses = self._waited(steps, job_state.houses)
        moves = np.zeros(len(minutes))
        if job_state.spot:
            elsewhere = (steps.spot_names != "") & (steps.spot_names != job_state.spot)
            moves[elsewhere] = self.library.settings.spot_minutes
        return StepCosts(minutes + moves + waits, job_state.spot, packed, steps.spots, houses)

    def _done(self, in_place: Flags, steps: _Steps) -> tuple[Floats, Flags, Flags]:
        """Minutes, what is in place afterwards, and whether it can be done.

        Shapes (stands, steps), (stands, steps, setups), (stands, steps).
        """
        setups = self.setups
        undo = steps.undone & in_place
        now = in_place & ~undo
        put = steps.needed & ~now
        now = now | put | _any_of(put, setups.leaves)
        ended = steps.blocked & now
        now = now & ~ended
        minutes = steps.minutes + undo @ setups.undoing + (put | ended) @ setups.putting
        possible = steps.at_hand & ~(put @ setups.missing)
        return minutes, (now & ~steps.clears) | steps.leaves, possible

    def _proved(self, in_place: Flags) -> tuple[Floats, Flags, Flags]:
        """As `_done`, for putting everything back and trying the engine; any leading shape."""
        setups = self.setups
        undo = _any_of(in_place & setups.comes_back, setups.above) & in_place
        now = in_place & ~undo
        put = self.proof.needed[0] & ~now
        now = now | put | _any_of(put, setups.leaves)
        ended = in_place & setups.danger & now
        minutes = self.proof.minutes[0] + undo @ setups.undoing + (put | ended) @ setups.putting
        return minutes, now & ~ended, ~(put @ setups.missing)

    def _waited(
        self, steps: _Steps, houses: frozenset[EventId]
    ) -> tuple[Floats, tuple[frozenset[EventId], ...]]:
        """The minutes that each step waits for its state of the engine, and the state it is made in."""
        key = (id(steps), houses)
        if key not in self._waits:
            outcomes: dict[Condition, tuple[float, frozenset[EventId]]] = {}
            for condition in steps.conditions:
                if condition not in outcomes:
                    taken = step_cost(self.library, Job(houses), Needs(minutes=0.0, only_when=condition))
                    outcomes[condition] = (
                        (np.inf, houses) if taken is None else (taken.minutes, taken.after.houses)
                    )
            found = [outcomes[condition] for condition in steps.conditions]
            self._waits[key] = (np.array([wait for wait, _ in found]), tuple(after for _, after in found))
        return self._waits[key]

    def _flags(self, job_state: JobState) -> Flags:
        packed = np.frombuffer(job_state.in_place, dtype=np.uint8)
        return np.unpackbits(packed, count=len(self.setup_ids)).astype(bool)


def compile_step_costs(
    library: Library,
    complaint: Complaint,
    checks: Mapping[CheckId, Check],
    repairs: Mapping[RepairId, Repair],
    kit: frozenset[ItemId] | None,
    barred: AbstractSet[str],
) -> StepCostModel:
    """Compile what checks and repairs need; `kit` and `barred` as in `Job`."""
    ids = tuple(library.setups)
    position = {id_: place for place, id_ in enumerate(ids)}
    bare = Job(frozenset(), kit)
    below = {id_: _closure(library, (id_,)) for id_ in ids}

    def flags(names: Sequence[SetupId] | AbstractSet[SetupId]) -> Flags:
        row = np.zeros(len(ids), dtype=bool)
        row[[position[name] for name in names]] = True
        return row

    def above(names: Sequence[SetupId]) -> Flags:
        return flags([id_ for id_ in ids if not below[id_].isdisjoint(names)])

    def table(rows: Sequence[Flags]) -> Flags:
        return np.array(rows, dtype=bool).reshape(len(rows), len(ids))

    def steps(needs: Sequence[Needs], proofs: bool = False) -> _Steps:
        return _Steps(
            np.array([one.minutes for one in needs], dtype=np.float64),
            np.array([proofs or at_hand(bare, one) for one in needs], dtype=bool),
            tuple(one.spot for one in needs),
            np.array([one.spot for one in needs], dtype=np.str_),
            table([flags(_closure(library, one.setups)) for one in needs]),
            table([above(one.undone) for one in needs]),
            table([flags(one.leaves) for one in needs]),
            table([flags(one.clears) for one in needs]),
            table([flags(one.not_during) for one in needs]),
            tuple(one.only_when for one in needs),
        )

    known = [library.setups[id_] for id_ in ids]
    setups = _Setups(
        np.array([one.needs.minutes for one in known], dtype=np.float64),
        np.array([one.undo_minutes for one in known], dtype=np.float64),
        table([flags(one.needs.leaves) for one in known]),
        table([above((id_,)) for id_ in ids]),
        np.array([one.danger for one in known], dtype=bool),
        np.array([one.comes_back for one in known], dtype=bool),
        np.array([one.id in barred or not at_hand(bare, one.needs) for one in known], dtype=bool),
    )
    proof = Needs(minutes=complaint.proof.minutes, setups=complaint.proof.needs)
    return StepCostModel(
        library,
        ids,
        setups,
        steps([check.needs for check in checks.values()]),
        steps([repair.needs for repair in repairs.values()]),
        steps([proof], proofs=True),
        tuple(tuple(finding.leaves for finding in check.findings) for check in checks.values()),
    )


def _closure(library: Library, setups: Sequence[SetupId]) -> frozenset[SetupId]:
    """The setups and all that they need."""
    found: set[SetupId] = set()
    waiting = list(setups)
    while waiting:
        one = waiting.pop()
        if one not in found:
            found.add(one)
            waiting.extend(library.setups[one].needs.setups)
    return frozenset(found)


def _any_of(chosen: Flags, rows: Flags) -> Flags:
    """For each choice of setups, the union of their rows."""
    return np.asarray(chosen.astype(np.float32) @ rows.astype(np.float32) > 0.0)


def _packed(flags: Flags) -> bytes:
    return np.packbits(flags.astype(np.bool_)).tobytes()
