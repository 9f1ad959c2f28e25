"""Looking ahead more than one step, best first, as far as the effort allows.

From the one-step values the most promising steps are followed into what they may show, there the next ones
are valued, and so on: always the open points that could still gain most, in batches. What is not followed
further is worth repairing in the best order, so every value is that of a plan that can be carried out, a
longer search only finds better ones, and it can be stopped at any time.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from heapq import heappop, heappush

import numpy as np

from kickover.planning.decision_problem import DecisionProblem
from kickover.planning.one_step import OneStepValues
from kickover.planning.valuation import ExpandedStep, Point, Positions, Valuation


@dataclass(frozen=True, slots=True)
class Effort:
    """How far to look.

    `work` bounds the search in numbers handled, so that it ends at the same place on every machine; `stop`
    is asked between batches and ends it early. `contenders` checks and `repairs` are followed from the
    start and `followed` steps from each later point, out of `considered` checks that are valued there;
    `batch` points are valued at once. Only the likeliest `hypotheses`, and `candidates` checks, take part.
    """

    work: int = 60_000
    contenders: int = 10
    repairs: int = 2
    considered: int = 4
    followed: int = 3
    batch: int = 32
    hypotheses: int = 256
    candidates: int = 40
    discount: float = 0.6
    stop: Callable[[], bool] | None = None


@dataclass(frozen=True, slots=True)
class Outlook:
    """What a search found: for the steps followed from the start, what it saves on their one-step values."""

    checks: dict[int, float]
    repairs: dict[int, float]
    points: int


NEGLIGIBLE = 1e-4
"""The share of the whole expected minutes below which a point is not worth looking at."""


def look_ahead(problem: DecisionProblem, one_step_values: OneStepValues, effort: Effort) -> Outlook:
    """Follow the best steps of `problem`; the savings are never negative and not normalised."""
    candidates = _candidates(one_step_values, effort.candidates)
    valuation = Valuation(_likeliest(problem, effort.hypotheses), one_step_values, candidates)
    start = valuation.start()
    contenders = np.argsort(one_step_values.check_values[candidates], kind="stable")[: effort.contenders]
    valuation.value([start], effort.contenders, effort.contenders, contenders)
    search = _Search(valuation, effort, start)
    search.follow(start, 1.0)
    while batch := search.next_batch():
        if valuation.spent >= effort.work or (effort.stop is not None and effort.stop()):
            break
        valuation.value([point for point, _ in batch], effort.considered, effort.followed)
        for point, weight in batch:
            search.follow(point, weight)
    return search.outlook()


class _Search:
    """The points of one search: those known, and the open ones by what they could gain."""

    def __init__(self, valuation: Valuation, effort: Effort, start: Point) -> None:
        self.valuation = valuation
        self.effort = effort
        self.start = start
        self.known: dict[object, Point] = {}
        self.waiting: list[tuple[float, int, float, Point, ExpandedStep, int]] = []
        self.queued = 0

    def follow(self, point: Point, weight: float) -> None:
        """Queue the outcomes of the best ways of `point`; `weight` is how much they matter."""
        ways = sorted(point.ways, key=_by_value)
        at_start = point is self.start
        most = len(ways) if at_start else self.effort.followed
        least_gain = NEGLIGIBLE * self.start.value
        for rank, way in enumerate(ways[:most]):
            share = weight if at_start else weight * self.effort.discount**rank
            for outcome, (value, least) in enumerate(zip(way.ahead, way.least, strict=True)):
                gain = (value - least) * share
                if gain > least_gain:
                    self.queued += 1
                    heappush(self.waiting, (-gain, self.queued, share, point, way, outcome))

    def next_batch(self) -> list[tuple[Point, float]]:
        """Open the outcomes that could gain most; those not met before, with their weights."""
        batch: dict[int, tuple[Point, float]] = {}
        while self.waiting and len(batch) < self.effort.batch:
            _, _, share, point, way, outcome = heappop(self.waiting)
            after = self.valuation.open(point, way, outcome)
            after = self.known.setdefault((after.found, after.made, after.job_state), after)
            way.points[outcome] = after
            if not after.valued:
                batch.setdefault(id(after), (after, share))
        return list(batch.values())

    def outlook(self) -> Outlook:
        """What every way from the start saved."""
        settled: dict[int, float] = {}
        checks: dict[int, float] = {}
        repairs: dict[int, float] = {}
        for way in self.start.ways:
            saved = max(0.0, way.value - _backed_up(way, settled))
            (checks if way.is_check else repairs)[way.position] = saved
        return Outlook(checks, repairs, len(self.known))


def _backed_up(way: ExpandedStep, settled: dict[int, float]) -> float:
    """The value of a way, with what was gained at the points that it leads to."""
    gained = sum(way.ahead[outcome] - _settled(point, settled) for outcome, point in way.points.items())
    return way.value - gained


def _settled(point: Point, settled: dict[int, float]) -> float:
    key = id(point)
    if key not in settled:
        settled[key] = min([point.value, *(_backed_up(way, settled) for way in point.ways if way.points)])
    return settled[key]


def _by_value(way: ExpandedStep) -> tuple[float, bool, int]:
    return (round(way.value, 9), way.is_check, way.position)


def _likeliest(problem: DecisionProblem, most: int) -> DecisionProblem:
    if len(problem.mass) <= most:
        return problem
    kept = np.argpartition(problem.mass, -most)[-most:]
    return problem.narrowed(np.sort(kept))


def _candidates(one_step_values: OneStepValues, most: int) -> Positions:
    """The checks that could matter: those that save most per minute, one step ahead."""
    able = np.flatnonzero(np.isfinite(one_step_values.check_values))
    minutes = one_step_values.check_minutes[able]
    saving = one_step_values.repairs_only - (one_step_values.check_values[able] - minutes)
    ranked = np.argsort(-saving / (minutes + 0.1), kind="stable")[:most]
    return np.sort(able[ranked])
