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

Masks = NDArray[np.uint8 | np.uint16]

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

    def offering(self, repairs: Sequence[int], checks: Sequence[int]) -> Costs:
        """What only some of the steps take."""

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

    def offering(self, repairs: Sequence[int], checks: Sequence[int]) -> FixedCosts:
        """What only some of the steps take."""
        findings = tuple(self.findings[check] for check in checks)
        return FixedCosts(self.checks[list(checks)], self.repairs[list(repairs)], findings)

    def lowest(self) -> Floats:
        """The same minutes as ever."""
        return self.repairs


NOWHERE = JobState(b"", "", frozenset())
"""The only job state there is when costs are fixed."""


@dataclass(frozen=True, slots=True, eq=False)
class Moves:
    """What repairs mend in part: `repair` takes engines of the row `source` to `target`, with `chance`.

    They are in order of the repair, and for each in order of the source.
    """

    repair: NDArray[np.intp]
    source: NDArray[np.intp]
    target: NDArray[np.intp]
    chance: Floats


NO_MOVES = Moves(np.zeros(0, np.intp), np.zeros(0, np.intp), np.zeros(0, np.intp), np.zeros(0))
"""The moves where every repair mends all or nothing."""


@dataclass(frozen=True, slots=True, eq=False)
class DecisionProblem:
    """Hypotheses, steps and costs of one moment of a walk.

    `mass` (K,) need not sum to 1. `members` (K, order) are positions of causes, -1 where there is none; bit m
    of `persists` (K,) is set when the complaint stays with just the members in the mask m. `works`
    (R, causes + 1) is the chance that a repair works on each cause, the last for none. `ends` (R, K) is the
    chance that it ends the complaint under each hypothesis and `keeps` (R, K) that it mends nothing; with the
    `moves` they sum to 1. A repair made once more changes nothing. `tables[t]` (findings, lines) are the
    chances of check t and `lines` (T, K) the line of each hypothesis; `relined`, where given, works `lines`
    out again for other house events.
    """

    mass: Floats
    members: Ints
    persists: Masks
    works: Floats
    ends: Floats
    keeps: Floats
    moves: Moves
    checks: tuple[str, ...]
    tables: tuple[Floats, ...]
    lines: Masks
    repairs: tuple[str, ...]
    costs: Costs
    start: JobState
    give_up: float
    relined: Callable[[JobState], Masks] | None = None

    def chances(self, check: int) -> Floats:
        """The chance of each finding of a check under each hypothesis, shape (findings, K)."""
        return np.asarray(self.tables[check][:, self.lines[check]])

    def failed(self, mass: Floats, repair: int) -> Floats:
        """The masses (K,) once a repair that was not made before has failed, for engines of masses `mass`."""
        result = mass * self.keeps[repair]
        moves = self.moves
        its = slice(*np.searchsorted(moves.repair, [repair, repair + 1]))
        moved = mass[moves.source[its]] * moves.chance[its]
        result += np.bincount(moves.target[its], weights=moved, minlength=len(mass))
        return np.asarray(result)

    def narrowed(self, rows: NDArray[np.intp]) -> DecisionProblem:
        """The same problem with only some of its hypotheses; what would move to others stays as it is."""
        place = np.full(len(self.mass), -1, dtype=np.intp)
        place[rows] = np.arange(len(rows))
        moves = self.moves
        keeps = self.keeps[:, rows]
        there = place[moves.source] >= 0
        lost = there & (place[moves.target] < 0)
        np.add.at(keeps, (moves.repair[lost], place[moves.source[lost]]), moves.chance[lost])
        kept = np.flatnonzero(there & ~lost)
        kept = kept[np.lexsort((place[moves.source[kept]], moves.repair[kept]))]
        return replace(
            self,
            mass=self.mass[rows],
            members=self.members[rows],
            persists=self.persists[rows],
            ends=self.ends[:, rows],
            keeps=keeps,
            moves=Moves(
                moves.repair[kept],
                place[moves.source[kept]],
                place[moves.target[kept]],
                moves.chance[kept],
            ),
            lines=self.lines[:, rows],
            relined=None,
        )

    def offering(self, repairs: Sequence[int], checks: Sequence[int], costs: Costs) -> DecisionProblem:
        """The same problem with only some of its steps, and what they take."""
        number = np.full(len(self.repairs), -1, dtype=np.intp)
        number[list(repairs)] = np.arange(len(repairs))
        moves = self.moves
        kept = number[moves.repair] >= 0
        order = np.argsort(number[moves.repair[kept]], kind="stable")
        return replace(
            self,
            works=self.works[list(repairs)],
            ends=self.ends[list(repairs)],
            keeps=self.keeps[list(repairs)],
            moves=Moves(
                number[moves.repair[kept]][order],
                moves.source[kept][order],
                moves.target[kept][order],
                moves.chance[kept][order],
            ),
            checks=tuple(self.checks[check] for check in checks),
            tables=tuple(self.tables[check] for check in checks),
            lines=self.lines[list(checks)],
            repairs=tuple(self.repairs[repair] for repair in repairs),
            costs=costs,
        )


def single_faults(
    mass: Floats,
    repairs: Floats,
    tests: Sequence[Floats],
    minutes: Floats,
    give_up: float,
    works: Floats | None = None,
) -> DecisionProblem:
    """A problem with one cause a hypothesis and fixed minutes.

    `tests[t]` (findings, causes) are the chances of test t, `minutes` (T,) what the tests take, `repairs`
    (R,) what the repairs take; without `works` (R, causes), their chances, repair i cures cause i.
    """
    count = len(mass)
    width = len(str(max(len(tests), len(repairs)) - 1))
    ends = np.eye(count) if works is None else np.asarray(works, dtype=np.float64)
    return DecisionProblem(
        mass=np.asarray(mass, dtype=np.float64),
        members=np.arange(count)[:, None],
        persists=np.full(count, 0b10, dtype=np.uint16),
        works=np.hstack([ends, np.zeros((len(ends), 1))]),
        ends=ends,
        keeps=1.0 - ends,
        moves=NO_MOVES,
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
