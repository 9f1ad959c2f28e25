"""A chart on paper: a finite-state controller without loops, and what it does, worked out exactly.

A chart has boxes, which are a flow, and tables, which are worked down row by row (Hansen 1998, "Solving
POMDPs by searching in policy space"; Poupart and Boutilier 2003, "Bounded finite state controllers"). Every
way through it is followed at once: what arrives at a box or row are masses of hypotheses, apart by the state
of the job and by what was already found and done, since nobody makes the same check or repair twice.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import NamedTuple

import numpy as np

from kickover.inference.hypotheses import Floats
from kickover.planning.decision_problem import DecisionProblem
from kickover.planning.step_costs import JobState

END = -1
"""The target of a way that goes on nowhere on this paper."""


class Target(NamedTuple):
    """Where a way goes on: at a box, or at the first row of a table; `END` for both is nowhere."""

    box: int = END
    table: int = END


NOWHERE_ELSE = Target()


@dataclass(frozen=True, slots=True)
class CheckBox:
    """A check, and where each of its findings leads."""

    check: int
    targets: tuple[Target, ...]


@dataclass(frozen=True, slots=True)
class RepairBox:
    """A repair with its proof, and where it leads when it did not help."""

    repair: int
    target: Target


Box = CheckBox | RepairBox


def targets_of(box: Box) -> tuple[Target, ...]:
    """Where the ways from a box lead."""
    return box.targets if isinstance(box, CheckBox) else (box.target,)


def redirected(box: Box, onward: Callable[[Target], Target]) -> Box:
    """The box with each of its ways leading where `onward` puts it."""
    if isinstance(box, CheckBox):
        return replace(box, targets=tuple(map(onward, box.targets)))
    return replace(box, target=onward(box.target))


@dataclass(frozen=True, slots=True)
class TableRow:
    """One row: its repair is made after the findings in `shows` of its check; without a check in any case."""

    repair: int
    check: int | None = None
    shows: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class BoundedChart:
    """Boxes in an order in which every way goes forward only, the first at the start; and tables of rows."""

    boxes: tuple[Box, ...]
    tables: tuple[tuple[TableRow, ...], ...]

    @property
    def room(self) -> int:
        """How many boxes and rows it has."""
        return len(self.boxes) + sum(len(table) for table in self.tables)


def without_idle_boxes(chart: BoundedChart) -> BoundedChart:
    """The chart without checks whose every finding leads to the same place: the ways go straight there."""
    onward: dict[int, Target] = {}

    def beyond(target: Target) -> Target:
        return onward.get(target.box, target)

    for place in reversed(range(len(chart.boxes))):
        box = chart.boxes[place]
        targets = set(map(beyond, box.targets)) if isinstance(box, CheckBox) else set()
        if len(targets) == 1 and (place > 0 or next(iter(targets)).box != END):
            onward[place] = targets.pop()
    kept = [place for place in range(len(chart.boxes)) if place not in onward]
    number = {place: new for new, place in enumerate(kept)}

    def moved(target: Target) -> Target:
        far = beyond(target)
        return far if far.box == END else Target(box=number[far.box])

    return BoundedChart(tuple(redirected(chart.boxes[place], moved) for place in kept), chart.tables)


class Way(NamedTuple):
    """What tells ways apart: the state of the job, what each check made showed, and the repairs made."""

    job_state: JobState
    found: frozenset[tuple[int, int]] = frozenset()
    made: frozenset[int] = frozenset()


Arrivals = dict[Way, Floats]
"""The masses of hypotheses, shape (K,), on each way that arrives at one place."""


@dataclass(slots=True)
class ChartValue:
    """What a chart does for engines of a problem's masses, which sum to 1.

    `minutes` are expected, with giving up at its price; `mended` is the share of engines. `at_box` and
    `at_row` are the shares that come to each box and to each row of each table, `by_box` and `by_row` what is
    mended there, `saved_by_row` the minutes that a row saves those who would give up otherwise, `left` the
    arrivals that no table takes further, by the table (or END) that they came from.
    """

    minutes: float = 0.0
    mended: float = 0.0
    at_box: list[float] = field(default_factory=list)
    by_box: list[float] = field(default_factory=list)
    at_row: list[list[float]] = field(default_factory=list)
    by_row: list[list[float]] = field(default_factory=list)
    saved_by_row: list[list[float]] = field(default_factory=list)
    at_table: list[Arrivals] = field(default_factory=list)
    left: dict[int, Floats] = field(default_factory=dict)


def chart_value(problem: DecisionProblem, chart: BoundedChart) -> ChartValue:
    """Follow every way of the chart at once, from its first box to its ends."""
    value = ChartValue()
    at_box: list[Arrivals] = [{} for _ in chart.boxes]
    value.at_table = [{} for _ in chart.tables]
    start = Way(problem.start)
    beginning = Target(0) if chart.boxes else Target(table=0) if chart.tables else NOWHERE_ELSE
    _send(beginning, start, problem.mass, at_box, value, END, problem)
    for place, box in enumerate(chart.boxes):
        arrivals = at_box[place]
        value.at_box.append(sum(float(mass.sum()) for mass in arrivals.values()))
        before = value.mended
        for way, mass in arrivals.items():
            if isinstance(box, CheckBox):
                for finding, after, rest in checked(problem, way, mass, box.check, value):
                    _send(box.targets[finding], after, rest, at_box, value, END, problem)
            else:
                after, rest = repaired(problem, way, mass, box.repair, value)
                _send(box.target, after, rest, at_box, value, END, problem)
        value.by_box.append(value.mended - before)
    for number, table in enumerate(chart.tables):
        rest_of = worked_down(problem, table, value.at_table[number], value)
        for mass in rest_of.values():
            _give_up(problem, mass, value, number)
    return value


def worked_down(
    problem: DecisionProblem, table: Sequence[TableRow], arrivals: Arrivals, value: ChartValue
) -> Arrivals:
    """What is left after the last row of a table, of what arrives at its first."""
    at_row, by_row, saved = [], [], []
    for row in table:
        at_row.append(sum(float(mass.sum()) for mass in arrivals.values()))
        before, spent = value.mended, value.minutes
        arrivals = _past_row(problem, row, arrivals, value)
        by_row.append(value.mended - before)
        saved.append(by_row[-1] * problem.give_up - (value.minutes - spent))
    value.at_row.append(at_row)
    value.by_row.append(by_row)
    value.saved_by_row.append(saved)
    return arrivals


def _past_row(problem: DecisionProblem, row: TableRow, arrivals: Arrivals, value: ChartValue) -> Arrivals:
    """What goes on to the next row. A table has each check and repair once: its own need no remembering."""
    onward: Arrivals = {}
    for way, mass in arrivals.items():
        known = dict(way.found)
        if row.repair in way.made:
            parts = [(way, mass, False)]
        elif row.check is None:
            parts = [(way, mass, True)]
        elif row.check in known:
            parts = [(way, mass, known[row.check] in row.shows)]
        else:
            found = checked(problem, way, mass, row.check, value)
            parts = [(after, rest, finding in row.shows) for finding, after, rest in found]
        for after, rest, shown in parts:
            if shown:
                after, rest = repaired(problem, after, rest, row.repair, value)
            _add(onward, Way(after.job_state, way.found, way.made), rest)
    return onward


def checked(
    problem: DecisionProblem, way: Way, mass: Floats, check: int, value: ChartValue
) -> Iterable[tuple[int, Way, Floats]]:
    """The ways after each finding of a check; a check that cannot be made from here is passed over."""
    minutes = float(problem.costs.check_minutes([way.job_state])[0][check])
    if not np.isfinite(minutes):
        yield problem.tables[check].shape[0] - 1, way, mass
        return
    value.minutes += minutes * float(mass.sum())
    states = problem.costs.after_check(way.job_state, check)
    for finding, chance in enumerate(problem.chances(check)):
        yield finding, Way(states[finding], way.found | {(check, finding)}, way.made), mass * chance


def repaired(
    problem: DecisionProblem, way: Way, mass: Floats, repair: int, value: ChartValue
) -> tuple[Way, Floats]:
    """The way once a repair was made and did not help; one made before, or out of reach, changes nothing."""
    minutes = float(problem.costs.repair_minutes([way.job_state])[0][repair])
    if repair in way.made or not np.isfinite(minutes):
        return way, mass
    value.minutes += minutes * float(mass.sum())
    value.mended += float(mass @ problem.ends[repair])
    after = Way(problem.costs.after_repair(way.job_state, repair), way.found, way.made | {repair})
    return after, problem.failed(mass, repair)


def _send(
    target: Target,
    way: Way,
    mass: Floats,
    at_box: list[Arrivals],
    value: ChartValue,
    origin: int,
    problem: DecisionProblem,
) -> None:
    if target.box != END:
        _add(at_box[target.box], way, mass)
    elif target.table != END:
        _add(value.at_table[target.table], way, mass)
    else:
        _give_up(problem, mass, value, origin)


def _give_up(problem: DecisionProblem, mass: Floats, value: ChartValue, origin: int) -> None:
    value.minutes += problem.give_up * float(mass.sum())
    value.left[origin] = value.left.get(origin, np.zeros(len(mass))) + mass


def _add(arrivals: Arrivals, way: Way, mass: Floats) -> None:
    if mass.any():
        arrivals[way] = arrivals[way] + mass if way in arrivals else mass


def merged_masses(arrivals: Mapping[Way, Floats], size: int) -> Floats:
    """All masses that arrive together, shape (K,)."""
    return np.asarray(np.sum([np.zeros(size), *arrivals.values()], axis=0))
