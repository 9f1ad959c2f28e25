"""Charts on paper: worked out exactly, as riders who follow them fare, and better with more room."""

from __future__ import annotations

import numpy as np
import pytest

from kickover.planning.bounded_chart import (
    BoundedChart,
    CheckBox,
    RepairBox,
    TableRow,
    Target,
    chart_value,
    without_idle_boxes,
)
from kickover.planning.chart_growth import ChartGrowth
from kickover.planning.decision_problem import DecisionProblem, FixedCosts, single_faults
from planning.small_problems import random_problem
from reference.exact import optimum
from slow_part import mostly_slow

SEEDS = range(12)


def follow(problem: DecisionProblem, chart: BoundedChart, rng: np.random.Generator) -> tuple[float, bool]:
    """The minutes of one rider with an engine of the problem, and whether it is mended."""
    costs = problem.costs
    assert isinstance(costs, FixedCosts)
    cause = int(rng.choice(len(problem.mass), p=problem.mass / problem.mass.sum()))
    minutes, found, made = 0.0, {}, set()

    def shows(check: int) -> int:
        nonlocal minutes
        if check not in found:
            minutes += float(costs.checks[check])
            chances = problem.chances(check)[:, cause]
            found[check] = int(rng.choice(len(chances), p=chances))
        return found[check]

    def cured_by(repair: int) -> bool:
        nonlocal minutes
        if repair in made:
            return False
        made.add(repair)
        minutes += float(costs.repairs[repair])
        return bool(rng.random() < problem.ends[repair, cause])

    target = Target(box=0) if chart.boxes else Target(table=0)
    while target.box >= 0:
        box = chart.boxes[target.box]
        if isinstance(box, CheckBox):
            target = box.targets[shows(box.check)]
        elif cured_by(box.repair):
            return minutes, True
        else:
            target = box.target
    for row in chart.tables[target.table] if target.table >= 0 else ():
        if (
            row.repair not in made
            and (row.check is None or shows(row.check) in row.shows)
            and cured_by(row.repair)
        ):
            return minutes, True
    return minutes + problem.give_up, False


@pytest.mark.parametrize("seed", range(3))
def test_the_value_is_what_riders_who_follow_it_find(seed: int) -> None:
    problem = random_problem(seed, give_up=200.0)
    chart, value = ChartGrowth(problem, 9, 3).within(9)
    rng = np.random.default_rng(seed)
    walks = [follow(problem, chart, rng) for _ in range(4000)]
    minutes = np.array([spent for spent, _ in walks])
    share = np.mean([mended for _, mended in walks])
    assert abs(minutes.mean() - value.minutes) < 4 * minutes.std() / np.sqrt(len(walks))
    assert abs(share - value.mended) < 4 * np.sqrt(value.mended * (1 - value.mended) / len(walks)) + 1e-3


@pytest.mark.parametrize("seed", mostly_slow(SEEDS, 3))
def test_more_room_is_never_worse(seed: int) -> None:
    growth = ChartGrowth(random_problem(seed, give_up=200.0), 16, 8)
    minutes = [growth.within(room)[1].minutes for room in range(2, 17)]
    assert minutes == sorted(minutes, reverse=True)
    assert all(growth.within(room)[0].room <= room for room in range(2, 17))


def test_with_ample_room_charts_come_near_the_best_plan_of_all() -> None:
    over = []
    for seed in range(4):
        problem = random_problem(seed, causes=(4, 5), checks=(3, 4), give_up=200.0)
        best = optimum(problem).minutes
        value = ChartGrowth(problem, 40, 20).within(40)[1]
        assert value.minutes >= best - 1e-6
        over.append(value.minutes / best - 1)
    assert np.mean(over) < 0.08
    assert max(over) < 0.25


def test_no_step_stands_twice_on_one_way() -> None:
    growth = ChartGrowth(random_problem(5, give_up=200.0), 24, 12)
    chart, _ = growth.within(24)

    def walk(target: Target, checks: frozenset[int], repairs: frozenset[int]) -> None:
        if target.box < 0:
            return
        box = chart.boxes[target.box]
        if isinstance(box, CheckBox):
            assert box.check not in checks
            for onward in box.targets:
                walk(onward, checks | {box.check}, repairs)
        else:
            assert box.repair not in repairs
            walk(box.target, checks, repairs | {box.repair})

    walk(Target(box=0), frozenset(), frozenset())
    for table in chart.tables:
        assert len({row.repair for row in table}) == len(table)
        asked = [row.check for row in table if row.check is not None]
        assert len(set(asked)) == len(asked)


def test_a_check_whose_findings_all_lead_to_one_place_is_taken_out() -> None:
    idle = BoundedChart(
        (
            CheckBox(0, (Target(box=1), Target(box=2))),
            CheckBox(1, (Target(box=3), Target(box=3))),
            RepairBox(0, Target(box=3)),
            CheckBox(2, (Target(table=0), Target(table=0))),
        ),
        ((TableRow(1),),),
    )
    assert without_idle_boxes(idle) == BoundedChart(
        (CheckBox(0, (Target(table=0), Target(box=1))), RepairBox(0, Target(table=0))), idle.tables
    )


@pytest.mark.parametrize("seed", mostly_slow(SEEDS, 3))
def test_no_grown_chart_has_an_idle_box(seed: int) -> None:
    chart, _ = ChartGrowth(random_problem(seed, give_up=200.0), 16, 8).within(16)
    assert without_idle_boxes(chart) == chart


def test_a_chart_by_hand_is_worked_out_by_hand() -> None:
    """Causes at 0.6 and 0.4; a sure check of 2 minutes; repairs of 10 and 20 minutes; giving up at 100."""
    hand = single_faults(
        np.array([0.6, 0.4]),
        np.array([10.0, 20.0]),
        [np.array([[1.0, 0.0], [0.0, 1.0]])],
        np.array([2.0]),
        100.0,
        np.array([[0.9, 0.0], [0.0, 1.0]]),
    )
    flow = BoundedChart(
        (CheckBox(0, (Target(box=1), Target(table=0))), RepairBox(0, Target())), ((TableRow(1),),)
    )
    value = chart_value(hand, flow)
    assert value.mended == pytest.approx(0.6 * 0.9 + 0.4)
    assert value.minutes == pytest.approx(2 + 0.6 * 10 + 0.06 * 100 + 0.4 * 20)
    assert value.at_box == pytest.approx([1.0, 0.6])
