"""Finds a good chart for a given room: how many boxes of a flow and rows of tables its paper has.

The flow grows from the start, each time where a further step saves most by the planner's values, seen from
the engines that come there. Where the room for boxes ends, the ways are gathered into a few tables by what
would mend them, and rows are added where they save most. Several shares of the room are tried, and the chart
with the least expected minutes is taken: every one of them is worked out exactly.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import count

import numpy as np

from kickover.inference.hypotheses import Floats
from kickover.planning.bounded_chart import (
    END,
    NOWHERE_ELSE,
    Arrivals,
    BoundedChart,
    Box,
    ChartValue,
    CheckBox,
    RepairBox,
    TableRow,
    Target,
    Way,
    chart_value,
    checked,
    merged_masses,
    redirected,
    repaired,
    without_idle_boxes,
    worked_down,
)
from kickover.planning.decision_problem import DecisionProblem
from kickover.planning.lookahead import Effort
from kickover.planning.plan import StepKind, choose

EFFORT = Effort()
LEAST_SHARE = 0.002
"""A way that fewer engines take than this is not drawn further."""
LONGEST_TABLE = 72
MOST_TABLES = 5
WORTH_FINISHING = frozenset({6, 12, 18})
"""Numbers of boxes at which the flow is finished with tables, to see what that gives."""
CONSIDERED_REPAIRS = 24
LEAST_ROW = 1e-4
"""A row that mends a smaller share than this is not worth its ink."""


@dataclass(slots=True)
class _Leaf:
    """An end of the flow: its way, the masses there, and which box and outcome it hangs on."""

    way: Way
    mass: Floats
    box: int
    outcome: int

    @property
    def share(self) -> float:
        return float(self.mass.sum())


class ChartGrowth:
    """The charts of one problem: grown once for the most room, and cut to any smaller one."""

    def __init__(self, problem: DecisionProblem, most: int, boxes: int) -> None:
        """At most `boxes` boxes, and with the rows at most `most` places."""
        self.problem = problem
        trunk = Trunk(problem)
        self._growths = [trunk.with_tables(1, most)]
        for number in range(1, min(boxes, most) + 1):
            if not trunk.grow():
                break
            if number in WORTH_FINISHING or number == min(boxes, most):
                self._growths.append(trunk.with_tables(MOST_TABLES, most - number))
        self._best: dict[int, tuple[BoundedChart, ChartValue]] = {}

    def within(self, room: int) -> tuple[BoundedChart, ChartValue]:
        """The best chart found for `room` places. A larger room never gives a worse one."""
        if room not in self._best:
            fitting = [growth for growth in self._growths if len(growth.boxes) < room]
            chart = min(fitting, key=lambda growth: growth.minutes(room)).within(room)
            found = (chart, chart_value(self.problem, chart))
            smaller = [best for other, best in self._best.items() if other < room]
            self._best[room] = min([found, *smaller], key=lambda pair: pair[1].minutes)
        return self._best[room]


@dataclass(frozen=True, slots=True)
class Growth:
    """A chart with all its rows in the order in which they were added: which table, which row.

    `whole` are its expected minutes with all of them, `saved` those that each row takes off: no row changes
    what another above it does, so the minutes with fewer rows are a sum.
    """

    boxes: tuple[Box, ...]
    added: tuple[tuple[int, TableRow], ...]
    tables: int
    whole: float = 0.0
    saved: tuple[float, ...] = ()

    def valued(self, problem: DecisionProblem) -> Growth:
        """The same with its minutes worked out."""
        value = chart_value(problem, self._cut(len(self.added)))
        rows = dict(
            zip(sorted({table for table, _ in self.added}), map(iter, value.saved_by_row), strict=True)
        )
        return replace(self, whole=value.minutes, saved=tuple(next(rows[table]) for table, _ in self.added))

    def minutes(self, room: int) -> float:
        """The expected minutes with so much room, its idle boxes still in place."""
        return self.whole + sum(self.saved[room - len(self.boxes) :])

    def within(self, room: int) -> BoundedChart:
        """The chart with its boxes and as many of its rows as there is room for; no box of it is idle."""
        number = room - len(self.boxes)
        chart = without_idle_boxes(self._cut(number))
        more = without_idle_boxes(self._cut(number + len(self.boxes) - len(chart.boxes)))
        return more if more.room <= room else chart

    def _cut(self, rows: int) -> BoundedChart:
        kept = self.added[:rows]
        tables = [tuple(row for table, row in kept if table == number) for number in range(self.tables)]
        place: dict[int, int] = {}
        for number, table in enumerate(tables):
            if table:
                place[number] = len(place)

        def moved(target: Target) -> Target:
            return target if target.table == END else Target(table=place.get(target.table, END))

        boxes = tuple(redirected(box, moved) for box in self.boxes)
        return BoundedChart(boxes, tuple(table for table in tables if table))


class Trunk:
    """A flow that grows from the start of a problem; its ends are leaves."""

    def __init__(self, problem: DecisionProblem) -> None:
        self.problem = problem
        self.boxes: list[Box] = []
        self.leaves: list[_Leaf] = []
        self._waiting: list[tuple[float, int, _Leaf, tuple[StepKind, int]]] = []
        self._number = count()
        self._add(_Leaf(Way(problem.start), problem.mass, -1, 0))

    def grow(self) -> bool:
        """Add the box that saves most; False when none saves anything."""
        if not self._waiting:
            return False
        _, _, leaf, (kind, step) = heapq.heappop(self._waiting)
        self.leaves = [other for other in self.leaves if other is not leaf]
        place = len(self.boxes)
        unused = ChartValue()
        if kind is StepKind.CHECK:
            outcomes = list(checked(self.problem, leaf.way, leaf.mass, step, unused))
            self.boxes.append(CheckBox(step, (NOWHERE_ELSE,) * len(outcomes)))
            leaves = [_Leaf(way, mass, place, finding) for finding, way, mass in outcomes]
        else:
            way, mass = repaired(self.problem, leaf.way, leaf.mass, step, unused)
            self.boxes.append(RepairBox(step, NOWHERE_ELSE))
            leaves = [_Leaf(way, mass, place, 0)]
        if leaf.box >= 0:
            _aim(self.boxes, leaf, Target(box=place))
        for new in leaves:
            self._add(new)
        return True

    def _add(self, leaf: _Leaf) -> None:
        self.leaves.append(leaf)
        if leaf.share < LEAST_SHARE:
            return
        step, saved = _next_step(self.problem, leaf)
        if step is not None and saved > 1e-9:
            heapq.heappush(self._waiting, (-saved, next(self._number), leaf, step))

    def with_tables(self, most: int, room: int) -> Growth:
        """The flow with its leaves aimed at up to `most` tables, which have up to `room` rows together."""
        groups = _gathered(self.problem, self.leaves, most)
        added = _allotted(self.problem, [_as_one(group) for group in groups], room)
        boxes = list(self.boxes)
        for number, group in enumerate(groups):
            for leaf in group:
                if leaf.box >= 0:
                    _aim(boxes, leaf, Target(table=number))
        return Growth(tuple(boxes), tuple(added), len(groups)).valued(self.problem)


def _as_one(group: Sequence[_Leaf]) -> Arrivals:
    """What arrives with a group, taken as if all came the way that most come: for the search alone."""
    there = [leaf for leaf in group if leaf.share > 0.0]
    if not there:
        return {}
    usual = max(there, key=lambda leaf: leaf.share).way
    whole = sum(leaf.share for leaf in there)
    made = {
        repair
        for leaf in there
        for repair in leaf.way.made
        if sum(other.share for other in there if repair in other.way.made) > whole / 2
    }
    return {Way(usual.job_state, usual.found, frozenset(made)): np.sum([leaf.mass for leaf in there], axis=0)}


def _aim(boxes: list[Box], leaf: _Leaf, target: Target) -> None:
    box = boxes[leaf.box]
    if isinstance(box, CheckBox):
        targets = list(box.targets)
        targets[leaf.outcome] = target
        boxes[leaf.box] = replace(box, targets=tuple(targets))
    else:
        boxes[leaf.box] = replace(box, target=target)


def _next_step(problem: DecisionProblem, leaf: _Leaf) -> tuple[tuple[StepKind, int] | None, float]:
    """The planner's next step at a leaf, and what planning saves there against repairs alone, in minutes."""
    found = {check for check, _ in leaf.way.found}
    checks = [check for check in range(len(problem.checks)) if check not in found]
    repairs = [repair for repair in range(len(problem.repairs)) if repair not in leaf.way.made]
    rows = np.flatnonzero(leaf.mass > 1e-5 * leaf.share)
    rows = np.union1d(rows, np.arange(len(leaf.mass) - 1, len(leaf.mass)))
    here = replace(problem, mass=leaf.mass / leaf.share, start=leaf.way.job_state, relined=None)
    here = here.narrowed(rows).offering(repairs, checks, problem.costs.offering(repairs, checks))
    ranked = choose(here, EFFORT)
    best = ranked.options[0]
    if best.kind is StepKind.GIVE_UP:
        return None, 0.0
    names = problem.checks if best.kind is StepKind.CHECK else problem.repairs
    worst = min(ranked.repairs_only, problem.give_up)
    return (best.kind, names.index(best.id)), leaf.share * (worst - best.expected)


def _gathered(problem: DecisionProblem, leaves: Sequence[_Leaf], most: int) -> list[list[_Leaf]]:
    """The leaves in at most so many groups, those together that the same repairs would mend."""
    groups = [[leaf] for leaf in leaves if leaf.share > 0.0]
    profiles = [problem.ends @ group[0].mass for group in groups]
    while len(groups) > most:
        shape = np.stack([profile / (np.linalg.norm(profile) + 1e-12) for profile in profiles])
        weight = np.array([sum(leaf.share for leaf in group) for group in groups])
        loss = (1.0 - shape @ shape.T) * np.minimum(weight[:, None], weight[None, :])
        loss[np.tril_indices(len(groups))] = np.inf
        first, second = np.unravel_index(int(np.argmin(loss)), loss.shape)
        groups[first] += groups.pop(int(second))
        profiles[first] = profiles[first] + profiles.pop(int(second))
    return groups


def _allotted(
    problem: DecisionProblem, arrivals: Sequence[Arrivals], room: int
) -> list[tuple[int, TableRow]]:
    """Rows for a table for each of the `arrivals`, `room` in all, given out where a further row saves most.

    They are in the order in which they were given, each with the number of its table.
    """
    growing = [RowChooser(problem, arrived).rows(min(room, LONGEST_TABLE)) for arrived in arrivals]
    added: list[tuple[int, TableRow]] = []
    ahead = [next(rows, None) for rows in growing]
    for _ in range(room):
        saved = [found[1] if found is not None else 0.0 for found in ahead]
        best = int(np.argmax(saved)) if saved else 0
        chosen = ahead[best] if saved else None
        if chosen is None or saved[best] <= 0.0:
            break
        added.append((best, chosen[0]))
        ahead[best] = next(growing[best], None)
    return added


class RowChooser:
    """Chooses the rows of one table for the masses that arrive at it, one after the other."""

    def __init__(self, problem: DecisionProblem, arrivals: Arrivals) -> None:
        self.problem = problem
        self.arrivals = arrivals
        sizes = [table.shape for table in problem.tables]
        most_lines = max((lines for _, lines in sizes), default=1)
        most_findings = max((findings for findings, _ in sizes), default=1)
        self._tables = np.zeros((len(sizes), most_findings, most_lines), dtype=np.float32)
        for check, table in enumerate(problem.tables):
            self._tables[check, : table.shape[0], : table.shape[1]] = table
        rows = np.arange(len(problem.mass))
        self._indicator = np.zeros((len(sizes), most_lines, len(rows)), dtype=np.float32)
        for check, lines in enumerate(problem.lines):
            self._indicator[check, lines, rows] = 1.0

    def rows(self, most: int) -> Iterator[tuple[TableRow, float]]:
        """Rows with the minutes that each saves, until none saves anything."""
        used: set[int] = set()
        repairs: set[int] = set()
        for _ in range(most):
            row = self._next(used, repairs)
            if row is None:
                return
            before = self.problem.give_up * sum(float(mass.sum()) for mass in self.arrivals.values())
            value = ChartValue()
            self.arrivals = worked_down(self.problem, [row], self.arrivals, value)
            after = self.problem.give_up * sum(float(mass.sum()) for mass in self.arrivals.values())
            saved = before - after - value.minutes
            repairs.add(row.repair)
            if row.check is not None:
                used.add(row.check)
            if saved <= 0.0 or value.mended < LEAST_ROW:
                return
            yield row, saved

    def _next(self, used: set[int], done: set[int]) -> TableRow | None:
        """The row that saves most, taken as if all that arrives came the usual way.

        A finding that speaks against a repair does not lead to it, however cheap: nobody would follow that.
        """
        problem = self.problem
        if not self.arrivals:
            return None
        usual = max(self.arrivals, key=lambda way: float(self.arrivals[way].sum()))
        whole = merged_masses(self.arrivals, len(problem.mass))
        minutes = problem.costs.repair_minutes([usual.job_state])[0]
        free = np.array([repair not in done and repair not in usual.made for repair in range(len(minutes))])
        gains = np.where(free & np.isfinite(minutes), problem.ends @ whole, 0.0)
        offered = np.argsort(-gains, kind="stable")[:CONSIDERED_REPAIRS]
        offered = offered[gains[offered] > 0.0]
        if not len(offered):
            return None
        total = float(whole.sum())
        saving = gains[offered] * problem.give_up - minutes[offered] * total
        best_place = int(np.argmax(saving))
        best, row = float(saving[best_place]), TableRow(int(offered[best_place]))
        known = {check for check, _ in usual.found} | used
        check_minutes = problem.costs.check_minutes([usual.job_state])[0]
        open_to = np.isfinite(check_minutes)
        open_to[list(known)] = False
        if open_to.any():
            weights = np.vstack([whole, problem.ends[offered] * whole]).astype(np.float32)
            found = self._tables @ (self._indicator @ weights.T)
            speaks = found[:, :, 1:] * total >= gains[offered] * found[:, :, :1]
            worth = np.where(
                speaks, found[:, :, 1:] * problem.give_up - minutes[offered] * found[:, :, :1], 0.0
            )
            saved = np.maximum(worth, 0.0).sum(axis=1) - check_minutes[:, None] * total
            saved[~open_to] = -np.inf
            check, place = np.unravel_index(int(np.argmax(saved)), saved.shape)
            if saved[check, place] > best:
                best = float(saved[check, place])
                shows = frozenset(np.flatnonzero(worth[check, :, place] > 0.0).tolist())
                row = TableRow(int(offered[place]), int(check), shows)
        return row if best > 0.0 else None
