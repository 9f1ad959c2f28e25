"""Every step valued one step ahead.

A check is worth its own minutes and, after each finding, the expected minutes of repairing in the best order
(decision-theoretic troubleshooting: Heckerman, Breese and Rommelse 1995); a repair is worth its minutes and
those of going on repairing when it fails.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kickover.inference.hypotheses import Floats
from kickover.planning.decision_problem import OUT_OF_REACH, SHORTEST, DecisionProblem
from kickover.planning.repair_order import (
    cover,
    least_minutes,
    least_repairing,
    repairing,
    shares,
)
from kickover.planning.step_costs import JobState

VALUED = 64
"""At most so many checks are valued in earnest; of the others it is known that they cost their minutes."""


@dataclass(frozen=True, slots=True)
class OneStepValues:
    """One-step values from the start of a problem, not normalised.

    They are infinite where a step cannot be made, and for checks that show the same whatever is wrong.

    `offered` are the repairs that are worth making, in order, `later` the minutes of those after another one
    failed. `mass` (offered + 1,) is what each of them ends, the last beyond all repairs, and `by_group[t]`
    (findings, offered + 1) the same after each finding of check t. `repairs_only` is the best without any
    check, and `least` a lower bound on every plan.
    """

    offered: NDArray[np.intp]
    later: Floats
    mass: Floats
    by_group: tuple[Floats, ...]
    check_minutes: Floats
    check_values: Floats
    repair_values: Floats
    repairs_only: float
    least: float


def one_step_values(problem: DecisionProblem) -> OneStepValues:
    """Value every check and every repair of `problem` one step ahead."""
    costs = problem.costs
    now = reachable(costs.repair_minutes([problem.start])[0])
    later = reachable(costs.later(problem.start))
    offered = cover(problem, np.minimum(now, later))
    ended = problem.mass[:, None] * shares(problem, offered)
    mass = ended.sum(axis=0)
    alone = repairing(mass[None, :-1], now[None, offered], later[offered], mass[-1:], problem.give_up)
    by_group = _masses_after(problem, ended)
    best_alone = float(alone.best[0])
    minutes, values = _check_values(problem, by_group, offered, later[offered], best_alone)
    repair_values = np.full(len(problem.repairs), np.inf)
    repair_values[offered] = alone.first[0]
    return OneStepValues(
        offered,
        later[offered],
        mass,
        by_group,
        minutes,
        values,
        repair_values,
        best_alone,
        _least(problem, minutes),
    )


def reachable(minutes: Floats) -> Floats:
    """Minutes as finite numbers above zero."""
    return np.where(np.isfinite(minutes), np.maximum(minutes, SHORTEST), OUT_OF_REACH)


def _masses_after(problem: DecisionProblem, ended: Floats) -> tuple[Floats, ...]:
    """For each check the mass of each group after each finding, (findings, size); `ended` has (K, size)."""
    if not problem.tables:
        return ()
    size = ended.shape[1]
    rows, groups = np.nonzero(ended)
    widths = np.array([table.shape[1] for table in problem.tables])
    starts = np.concatenate([[0], np.cumsum(widths)])
    codes = (starts[:-1, None] + problem.lines[:, rows]) * size + groups
    weights = np.broadcast_to(ended[rows, groups], codes.shape)
    by_line = np.bincount(codes.ravel(), weights=weights.ravel(), minlength=int(starts[-1]) * size)
    table = by_line.reshape(int(starts[-1]), size)
    return tuple(
        chances @ table[start : start + width]
        for chances, start, width in zip(problem.tables, starts[:-1], widths, strict=True)
    )


def _check_values(
    problem: DecisionProblem,
    by_group: tuple[Floats, ...],
    offered: NDArray[np.intp],
    later: Floats,
    alone: float,
) -> tuple[Floats, Floats]:
    """The minutes of each check and its one-step value; `alone` are the minutes without any check."""
    if not len(problem.checks):
        return np.zeros(0), np.zeros(0)
    minutes = problem.costs.check_minutes([problem.start])[0]
    mute = np.array([bool((table == table[:, :1]).all()) for table in problem.tables])
    minutes = np.where(mute, np.inf, minutes)
    total = float(problem.mass.sum())
    values = minutes * total + alone
    chosen = _most_telling(by_group, np.append(later, problem.give_up), minutes * total, problem.give_up)
    if not len(chosen):
        return minutes, values
    job_states: dict[JobState, int] = {}
    rows = [
        job_states.setdefault(job_state, len(job_states))
        for check in chosen.tolist()
        for job_state in problem.costs.after_check(problem.start, check)
    ]
    now = reachable(problem.costs.repair_minutes(list(job_states))[:, offered])
    after = np.vstack([by_group[check] for check in chosen])
    best = least_repairing(after[:, :-1], now[rows], later, after[:, -1], problem.give_up)
    starts = np.cumsum([0, *(len(by_group[check]) for check in chosen[:-1])])
    values[chosen] = minutes[chosen] * total + np.add.reduceat(best, starts)
    return minutes, values


def _most_telling(
    by_group: tuple[Floats, ...], later: Floats, spent: Floats, give_up: float
) -> NDArray[np.intp]:
    """The checks to value in earnest: all that can be made, or `VALUED` of them by `waiting`."""
    able = np.flatnonzero(np.isfinite(spent))
    if len(able) <= VALUED:
        return able
    after = np.vstack([by_group[check] for check in able])
    roots = np.sqrt(after * np.minimum(later, give_up)).sum(axis=1)
    starts = np.cumsum([0, *(len(by_group[check]) for check in able[:-1])])
    promise = waiting(np.add.reduceat(roots**2, starts)) + spent[able]
    return np.sort(able[np.argpartition(promise, VALUED)[:VALUED]])


def waiting(squared_roots: Floats) -> Floats:
    """An estimate of the minutes of waiting for the right repair, from the square of the sum of roots of p c.

    Repairing in the best order takes the sum of p c, and for each pair of repairs the smaller of p_i c_j and
    p_j c_i. The smaller is at most the geometric mean, whose sum over pairs is half the square of the sum of
    the roots of p c, less half the sum of p c, which is the same after every check. Half of that bound was
    seen to rank checks almost as the best order itself does, at a fraction of the work.
    """
    return 0.25 * squared_roots


def _least(problem: DecisionProblem, check_minutes: Floats) -> float:
    """A lower bound on every plan: its first step, and then the one repair that each hypothesis needs.

    A first check adds its minutes to that; a first repair its own, for which less may be left to do.
    """
    lowest = problem.costs.lowest()
    total = float(problem.mass.sum())
    least = least_minutes(problem, lowest)
    moves = problem.moves
    moved = problem.mass[moves.source] * moves.chance * least[moves.target]
    failed = problem.keeps @ (problem.mass * least)
    failed += np.bincount(moves.repair, weights=moved, minlength=len(lowest))
    spared = float(problem.mass @ least)
    first = [problem.give_up * total, *(lowest * total + failed), *(check_minutes * total + spared)]
    return max(spared, float(min(first)))
