"""The decision problem behind a plan, as arrays: what may be wrong, what can be done about it, what it takes.

The look ahead and the exact optimum both work on this, so that one is measured against the other on the same
problem. `framing` makes one from a belief and a job; small ones are written down by hand.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from kickover.inference.hypotheses import Floats, Ints
from kickover.planning.step_costs import JobState

Masks = NDArray[np.uint8]

OUT_OF_REACH = 1e9
"""Minutes of a repair that cannot be made from some state: finite, so that zero times it is zero."""

SHORTEST = 1e-6
"""Minutes below which no step is reckoned, so that probability over minutes is a number."""


class Costs(Protocol):
    """What steps take, infinite where they cannot be made; steps are their positions in the problem."""

    def check_minutes(self, job_states: Sequence[JobState]) -> Floats:
        """The minutes of each check from each job state: shape (job states, T)."""

    def repair_minutes(self, job_states: Sequence[JobState]) -> Floats:
        """The minutes of each repair with its proof from each job state: shape (job states, R)."""

    def after_check(self, job_state: JobState, check: int) -> tuple[JobState, ...]:
        """The job state after each finding of a check made from `job_state`."""

    def after_repair(self, job_state: JobState, repair: int) -> JobState:
        """The job state once a repair, made from `job_state`, has failed its proof."""

    def later(self, job_state: JobState) -> Floats:
        """The minutes of each repair after another one has failed: shape (R,)."""

    def lowest(self) -> Floats:
        """Minutes below which each repair cannot be had from any job state: shape (R,)."""


@dataclass(frozen=True, slots=True)
class FixedCosts:
    """Minutes that do not depend on what was done before: shapes (T,) and (R,).

    `findings` are how many each check has.
    """

    checks: Floats
    repairs: Floats
    findings: tuple[int, ...]

    def check_minutes(self, job_states: Sequence[JobState]) -> Floats:
        """The same minutes from each job state."""
        return np.tile(self.checks, (len(job_states), 1))

    def repair_minutes(self, job_states: Sequence[JobState]) -> Floats:
        """The same minutes from each job state."""
        return np.tile(self.repairs, (len(job_states), 1))

    def after_check(self, job_state: JobState, check: int) -> tuple[JobState, ...]:
        """The same job state after each finding."""
        return (job_state,) * self.findings[check]

    def after_repair(self, job_state: JobState, repair: int) -> JobState:  # noqa: ARG002
        """The same job state."""
        return job_state

    def later(self, job_state: JobState) -> Floats:  # noqa: ARG002
        """The same minutes as ever."""
        return self.repairs

    def lowest(self) -> Floats:
        """The same minutes as ever."""
        return self.repairs


NOWHERE = JobState(b"", "", frozenset())
"""The only job state there is when costs are fixed."""


@dataclass(frozen=True, slots=True, eq=False)
class DecisionProblem:
    """Hypotheses, steps and costs of one moment of a walk.

    `mass` (K,) need not sum to 1. `members` (K, order) are positions of causes, -1 where there is none;
    bit m of `persists` (K,) is set when the complaint stays with just the members in the mask m, and `left`
    (K,) is the mask of those not cured so far. `cures` (R, causes) says what each repair cures.
    `tables[t]` (findings, lines) are the chances of check t and `lines` (T, K) the line of each hypothesis;
    `relined`, where given, works `lines` out again for other house events and more causes cured.
    """

    mass: Floats
    members: Ints
    persists: Masks
    left: Masks
    cures: NDArray[np.bool_]
    checks: tuple[str, ...]
    tables: tuple[Floats, ...]
    lines: Masks
    repairs: tuple[str, ...]
    costs: Costs
    start: JobState
    give_up: float
    relined: Callable[[JobState, Sequence[int]], Masks] | None = None

    def chances(self, check: int) -> Floats:
        """The chance of each finding of a check under each hypothesis, shape (findings, K)."""
        return np.asarray(self.tables[check][:, self.lines[check]])

    def left_after(self, made: Sequence[int]) -> Masks:
        """The masks of members that are left when the repairs `made` are done as well, shape (K,)."""
        if not made:
            return self.left
        cured = np.append(self.cures[list(made)].any(axis=0), False)
        return np.asarray(self.left & ~_mask(cured[self.members]))

    def ended(self, left: Masks) -> NDArray[np.bool_]:
        """Where the complaint is gone when just the members in `left` are left, shape (K,)."""
        return np.asarray((self.persists >> left & 1) == 0)

    def narrowed(self, rows: NDArray[np.intp]) -> DecisionProblem:
        """The same problem with only some of its hypotheses."""
        return replace(
            self,
            mass=self.mass[rows],
            members=self.members[rows],
            persists=self.persists[rows],
            left=self.left[rows],
            lines=self.lines[:, rows],
            relined=None,
        )


def single_faults(
    mass: Floats,
    repairs: Floats,
    tests: Sequence[Floats],
    minutes: Floats,
    give_up: float,
    cures: NDArray[np.bool_] | None = None,
) -> DecisionProblem:
    """A problem with one cause a hypothesis and fixed minutes.

    `tests[t]` (findings, causes) are the chances of test t, `minutes` (T,) what the tests take, `repairs`
    (R,) what the repairs take; without `cures` repair i cures cause i.
    """
    count = len(mass)
    width = len(str(max(len(tests), len(repairs)) - 1))
    return DecisionProblem(
        mass=np.asarray(mass, dtype=np.float64),
        members=np.arange(count)[:, None],
        persists=np.full(count, 0b10, dtype=np.uint8),
        left=np.ones(count, dtype=np.uint8),
        cures=np.eye(count, dtype=bool) if cures is None else cures,
        checks=tuple(f"test-{number:0{width}}" for number in range(len(tests))),
        tables=tuple(np.asarray(test, dtype=np.float64) for test in tests),
        lines=np.tile(np.arange(count, dtype=np.uint8), (len(tests), 1)),
        repairs=tuple(f"repair-{number:0{width}}" for number in range(len(repairs))),
        costs=FixedCosts(
            np.asarray(minutes, dtype=np.float64),
            np.asarray(repairs, dtype=np.float64),
            tuple(len(test) for test in tests),
        ),
        start=NOWHERE,
        give_up=give_up,
    )


def _mask(flags: NDArray[np.bool_]) -> Masks:
    """The members flagged, as a binary mask a row."""
    powers = (1 << np.arange(flags.shape[1])).astype(np.uint8)
    return np.asarray((flags * powers).sum(axis=1), dtype=np.uint8)
