"""What simulated walks add up to: minutes, steps, and how well probabilities were told."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kickover.inference.hypotheses import Floats
from kickover.simulation.simulated_walk import RankingSnapshot, Walked

MARKS = (0, 1, 2, 3, 5, 8)
"""The numbers of answers after which the ranking is reported."""

BINS = 10
"""At most so many bins of equal count show the calibration."""

RESAMPLES = 2000


@dataclass(frozen=True, slots=True)
class Interval:
    """A mean with the ends of its 95 % interval."""

    mean: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class AfterAnswers:
    """How good the ranking is after a number of answers, over the walks that got so far.

    `top_one` and `top_three` are the shares in which a true cause led, or was among the first three, over
    engines with a listed cause; `log_loss` (natural logarithm) and `brier` (sum over all sets of causes)
    are means over all engines.
    """

    answers: int
    walks: int
    top_one: float
    top_three: float
    log_loss: float
    brier: float


@dataclass(frozen=True, slots=True)
class Bin:
    """Looks at the ranking with about the same confidence: how sure it was, how often it was right."""

    looks: int
    sure: float
    right: float


@dataclass(frozen=True, slots=True)
class Score:
    """One way of choosing steps over all its walks.

    `mended_or_named` is the share that was mended, or in which a true cause led when it stopped;
    `three_at_end` that in which one was among the first three at the end, and `wrong_credit` that whose cure
    was laid to causes of which it had none. `calibration_error` is the mean gap between confidence and
    frequency over the bins, weighed by count (expected calibration error; biased upward for few walks).
    """

    walks: int
    minutes: Interval
    minutes_p90: float
    steps: float
    checks: float
    repairs: float
    confirmed: float
    wrong_repairs: float
    mended_or_named: float
    three_at_end: float
    wrong_credit: float
    after: tuple[AfterAnswers, ...]
    calibration: tuple[Bin, ...]
    calibration_error: float


def score(walks: Sequence[Walked]) -> Score:
    """Add up the walks of one way of choosing."""
    minutes = np.array([walk.minutes for walk in walks])
    checks = np.array([walk.checks for walk in walks], dtype=np.float64)
    repairs = np.array([walk.repairs for walk in walks], dtype=np.float64)
    looks = [snapshot for walk in walks for snapshot in walk.snapshots]
    bins = calibration(looks)
    return Score(
        walks=len(walks),
        minutes=interval(minutes),
        minutes_p90=float(np.quantile(minutes, 0.9)),
        steps=float((checks + repairs).mean()),
        checks=float(checks.mean()),
        repairs=float(repairs.mean()),
        confirmed=float(np.mean([walk.confirmed for walk in walks])),
        wrong_repairs=float(np.mean([walk.wrong_repairs for walk in walks])),
        mended_or_named=float(np.mean([walk.confirmed or walk.ranking.top_one for walk in walks])),
        three_at_end=float(np.mean([walk.ranking.top_three for walk in walks])),
        wrong_credit=float(np.mean([walk.credited_wrong for walk in walks])),
        after=tuple(_after(walks, mark) for mark in MARKS if _reached(walks, mark)),
        calibration=bins,
        calibration_error=sum(bin_.looks * abs(bin_.sure - bin_.right) for bin_ in bins) / max(len(looks), 1),
    )


def interval(values: Floats) -> Interval:
    """The mean and its 95 % interval by the normal approximation."""
    mean = float(values.mean())
    half = 1.96 * float(values.std(ddof=1)) / np.sqrt(len(values)) if len(values) > 1 else 0.0
    return Interval(mean, mean - half, mean + half)


def ratio(ours: Sequence[Walked], others: Sequence[Walked]) -> Interval:
    """Our mean minutes over theirs, on the same engines, with a paired bootstrap interval."""
    first = np.array([our.minutes for our in sorted(ours, key=lambda walked: walked.engine)])
    second = np.array([other.minutes for other in sorted(others, key=lambda walked: walked.engine)])
    picks = np.random.default_rng(0).integers(len(first), size=(RESAMPLES, len(first)))
    resampled = first[picks].mean(axis=1) / second[picks].mean(axis=1)
    low, high = np.quantile(resampled, [0.025, 0.975])
    return Interval(float(first.mean() / second.mean()), float(low), float(high))


def calibration(looks: Sequence[RankingSnapshot]) -> tuple[Bin, ...]:
    """How sure the ranking was and how often it was right, in bins of equal count."""
    sure = np.array([look.sure for look in looks])
    right = np.array([look.right for look in looks], dtype=np.float64)
    order = np.argsort(sure, kind="stable")
    return tuple(
        Bin(len(rows), float(sure[rows].mean()), float(right[rows].mean()))
        for rows in np.array_split(order, min(BINS, len(looks)))
    )


def _reached(walks: Sequence[Walked], mark: int) -> list[tuple[Walked, RankingSnapshot]]:
    return [(walk, snapshot) for walk in walks for snapshot in walk.snapshots if snapshot.answers == mark]


def _after(walks: Sequence[Walked], mark: int) -> AfterAnswers:
    reached = _reached(walks, mark)
    listed = [snapshot for walked, snapshot in reached if walked.listed]
    return AfterAnswers(
        answers=mark,
        walks=len(reached),
        top_one=float(np.mean([snapshot.top_one for snapshot in listed])) if listed else 0.0,
        top_three=float(np.mean([snapshot.top_three for snapshot in listed])) if listed else 0.0,
        log_loss=float(np.mean([snapshot.loss for _, snapshot in reached])),
        brier=float(np.mean([snapshot.brier for _, snapshot in reached])),
    )
