"""One-step values at many points of a look ahead, worked out together.

A point is what a plan may come to: some findings, some repairs that failed, a state of the job. Working on a
batch of them costs little more than on one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from kickover.inference.hypotheses import Floats
from kickover.planning.decision_problem import DecisionProblem
from kickover.planning.one_step import OneStepValues, reachable, waiting
from kickover.planning.repair_order import least_minutes, least_repairing, repairing, shares
from kickover.planning.step_costs import JobState

Positions = NDArray[np.intp]


@dataclass(slots=True)
class Point:
    """A point that a plan may come to: what was found and made, and the unnormalised masses there.

    `found` are checks with their findings and the repairs made before each, since these may change what a
    check shows. The masses are `origin` times the chances in `row` of the valuation. `value` is the least
    expected minutes from here of the plans known so far; it carries the point's mass. `ways` are the best
    steps from here, once the point was valued.
    """

    origin: Floats
    row: int
    found: frozenset[tuple[int, int, tuple[int, ...]]]
    made: tuple[int, ...]
    job_state: JobState
    value: float
    ways: list[ExpandedStep] = field(default_factory=list)
    valued: bool = False


@dataclass(slots=True)
class ExpandedStep:
    """A step from a point and its one-step value.

    For each of its outcomes `ahead` is what repairing costs there, and `least` a lower bound on any plan.
    `points` are the outcomes that were opened, by their positions.
    """

    is_check: bool
    position: int
    value: float
    ahead: tuple[float, ...]
    least: tuple[float, ...]
    points: dict[int, Point] = field(default_factory=dict)


_AS_IT_IS = -1
"""The row of ones."""


class Valuation:
    """Values points of one problem. `spent` counts the numbers handled so far."""

    def __init__(
        self, problem: DecisionProblem, one_step_values: OneStepValues, candidates: Positions
    ) -> None:
        """`candidates` are the checks that are considered at all."""
        self._shares: dict[tuple[int, ...], Floats] = {}
        self.problem = problem
        self.one_step_values = one_step_values
        self.candidates = candidates
        chances = [problem.chances(int(check)) for check in candidates]
        self.sizes = np.array([len(chance) for chance in chances], dtype=np.intp)
        self.starts = np.concatenate([[0], np.cumsum(self.sizes)[:-1]]).astype(np.intp)
        self.chances = np.vstack([*chances, np.ones(len(problem.mass))])
        self.spent = 0
        self.least = least_minutes(problem, problem.costs.lowest())
        self.weights = np.append(np.minimum(one_step_values.later, problem.give_up), problem.give_up)
        self.blurred = self._blurred()
        self._now: dict[JobState, Floats] = {}

    def start(self) -> Point:
        """The point at which the problem starts."""
        return Point(
            self.problem.mass,
            _AS_IT_IS,
            frozenset(),
            (),
            self.problem.start,
            self.one_step_values.repairs_only,
        )

    def value(
        self, points: Sequence[Point], considered: int, kept: int, chosen: Positions | None = None
    ) -> None:
        """Value the points: of the `considered` most telling checks of each, keep the best as ways.

        `chosen` checks, by their places among the candidates, are considered instead where given.
        """
        kinds = [point.made for point in points]
        masses = np.stack([point.origin for point in points])
        masses *= self.chances[[point.row for point in points]]
        by_group = self._summed(masses, kinds)
        now = self._minutes_now([point.job_state for point in points])
        later, give_up = self.one_step_values.later, self.problem.give_up
        alone = repairing(by_group[:, :-1], now, later, by_group[:, -1], give_up)
        for row, point in enumerate(points):
            point.valued = True
            point.origin, point.row = masses[row], _AS_IT_IS
            point.value = min(point.value, float(alone.best[row]))
            total = float(by_group[row].sum())
            for place in np.argsort(alone.first[row], kind="stable")[:2].tolist():
                if by_group[row, place] > 0.0:
                    whole = float(alone.first[row, place])
                    ahead = whole - float(now[row, place]) * total
                    repair = int(self.one_step_values.offered[place])
                    bound = float(self.problem.failed(masses[row], repair) @ self.least)
                    point.ways.append(ExpandedStep(False, repair, whole, (ahead,), (bound,)))
        self._value_checks(points, masses, kinds, by_group, considered, kept, chosen)

    def open(self, point: Point, way: ExpandedStep, outcome: int) -> Point:
        """The point to which an outcome of a way leads."""
        problem = self.problem
        value = way.ahead[outcome]
        if way.is_check:
            row = int(self.starts[np.searchsorted(self.candidates, way.position)]) + outcome
            job_state = problem.costs.after_check(point.job_state, way.position)[outcome]
            found = point.found | {(way.position, outcome, point.made)}
            return Point(point.origin, row, found, point.made, job_state, value)
        made = tuple(sorted({*point.made, way.position}))
        mass = problem.failed(point.origin, way.position)
        job_state = problem.costs.after_repair(point.job_state, way.position)
        return Point(mass, _AS_IT_IS, point.found, made, job_state, value)

    def _value_checks(
        self,
        points: Sequence[Point],
        masses: Floats,
        kinds: Sequence[tuple[int, ...]],
        by_group: Floats,
        considered: int,
        kept: int,
        chosen: Positions | None,
    ) -> None:
        if not len(self.candidates):
            return
        job_states = [point.job_state for point in points]
        minutes = self.problem.costs.check_minutes(job_states)[:, self.candidates]
        for row, point in enumerate(points):
            asked = [check for check, _, _ in point.found]
            minutes[row, np.searchsorted(self.candidates, asked)] = np.inf
        if chosen is None:
            owners, places = self._most_telling(by_group, minutes, considered)
        else:
            owners, places = np.nonzero(np.isfinite(minutes) & np.isin(np.arange(minutes.shape[1]), chosen))
        if not len(owners):
            return
        sizes = self.sizes[places]
        ends = np.cumsum(sizes)
        begins = ends - sizes
        rows = np.repeat(self.starts[places] - begins, sizes) + np.arange(ends[-1])
        of_point = np.repeat(owners, sizes)
        after = masses[of_point] * self.chances[rows]
        summed = self._summed(after, [kinds[owner] for owner in of_point.tolist()])
        now = self._minutes_after(points, owners, places)
        later, give_up = self.one_step_values.later, self.problem.give_up
        best = least_repairing(summed[:, :-1], now, later, summed[:, -1], give_up)
        spent = minutes[owners, places] * by_group.sum(axis=1)[owners]
        values = spent + np.add.reduceat(best, begins)
        least = after @ self.least
        ranked = np.lexsort((values, owners))
        firsts = np.flatnonzero(np.diff(owners[ranked], prepend=-1))
        places_in_owner = np.arange(len(ranked)) - np.repeat(firsts, np.diff(firsts, append=len(ranked)))
        for row in ranked[places_in_owner < kept].tolist():
            point = points[owners[row]]
            point.value = min(point.value, float(values[row]))
            outcomes = slice(begins[row], ends[row])
            check = int(self.candidates[places[row]])
            ahead, bounds = tuple(best[outcomes].tolist()), tuple(least[outcomes].tolist())
            point.ways.append(ExpandedStep(True, check, float(values[row]), ahead, bounds))

    def _most_telling(
        self, by_group: Floats, minutes: Floats, considered: int
    ) -> tuple[Positions, Positions]:
        """Pairs of point and candidate: all that can be made, or those that promise most (`waiting`)."""
        possible = np.isfinite(minutes)
        if minutes.shape[1] <= considered:
            owners, places = np.nonzero(possible)
            return owners, places
        roots = self.blurred @ np.sqrt(by_group * self.weights).T
        still = waiting(np.add.reduceat(roots**2, self.starts, axis=0)).T
        cost = np.where(
            possible, still + np.where(possible, minutes, 0.0) * by_group.sum(axis=1)[:, None], np.inf
        )
        best = np.argpartition(cost, considered - 1, axis=1)[:, :considered]
        owners = np.repeat(np.arange(len(best)), considered)
        places = np.sort(best, axis=1).ravel()
        able = possible[owners, places]
        return owners[able], places[able]

    def _summed(self, masses: Floats, made: Sequence[tuple[int, ...]]) -> Floats:
        """Mass by the repair that ends it, (rows, offered + 1); `made` are those made before each row."""
        size = len(self.one_step_values.offered) + 1
        self.spent += masses.size + 4 * len(masses) * size
        if len(set(made)) == 1:
            return np.asarray(masses @ self._shares_after(made[0]))
        result = np.empty((len(masses), size))
        by_made: dict[tuple[int, ...], list[int]] = {}
        for row, repairs in enumerate(made):
            by_made.setdefault(repairs, []).append(row)
        for repairs, rows in by_made.items():
            result[rows] = masses[rows] @ self._shares_after(repairs)
        return result

    def _shares_after(self, made: tuple[int, ...]) -> Floats:
        """What each repair ends of each hypothesis once the repairs `made` have failed."""
        if made not in self._shares:
            self._shares[made] = shares(self.problem, self.one_step_values.offered, made)
        return self._shares[made]

    def _blurred(self) -> Floats:
        """The root of the chance of each finding under each group, over its hypotheses at the start."""
        whole = np.maximum(self.one_step_values.mass, 1e-300)
        chances = [self.one_step_values.by_group[check] / whole for check in self.candidates]
        return np.asarray(np.sqrt(np.vstack([*chances, np.zeros((0, len(whole)))])))

    def _minutes_now(self, job_states: Sequence[JobState]) -> Floats:
        new = [job_state for job_state in dict.fromkeys(job_states) if job_state not in self._now]
        if new:
            minutes = reachable(self.problem.costs.repair_minutes(new)[:, self.one_step_values.offered])
            self._now.update(zip(new, minutes, strict=True))
        return np.stack([self._now[job_state] for job_state in job_states])

    def _minutes_after(self, points: Sequence[Point], owners: Positions, places: Positions) -> Floats:
        after_check = self.problem.costs.after_check
        order: dict[JobState, int] = {}
        rows: list[int] = []
        for owner, check in zip(owners.tolist(), self.candidates[places].tolist(), strict=True):
            job_states = after_check(points[owner].job_state, check)
            rows.extend(order.setdefault(job_state, len(order)) for job_state in job_states)
        return self._minutes_now(list(order))[rows]
