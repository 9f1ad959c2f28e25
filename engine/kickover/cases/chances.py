"""Chances of findings from counts of answers: the Dirichlet update, line by line of a check.

A yes/no check is the case of two findings, where the Dirichlet is a Beta. Counts may be fractions, from
answers that were not sure.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import betaincinv

from kickover.reason.hypotheses import Floats

LEAST = 0.01
"""No chance is learned to be smaller, since nothing is that sure."""


@dataclass(frozen=True, slots=True)
class Learned:
    """Chances after learning: means, and the limits of the middle 95 % of each, shape (findings,)."""

    mean: Floats
    low: Floats
    high: Floats


def update(before: Floats, counts: Floats, strength: float) -> Floats:
    """The mean chances when `before` counts as much as `strength` answers; the last axis is findings."""
    total = strength + counts.sum(axis=-1, keepdims=True)
    return np.asarray((strength * before + counts) / total)


def learn(before: Floats, counts: Floats, strength: float, middle: float = 0.95) -> Learned:
    """Learn the chances of one line, shape (findings,). Marginals of a Dirichlet are Beta."""
    shape = strength * before + counts
    rest = shape.sum() - shape
    tail = (1.0 - middle) / 2.0
    low, high = betaincinv(shape, rest, tail), betaincinv(shape, rest, 1.0 - tail)
    return Learned(floored(update(before, counts, strength)), np.asarray(low), np.asarray(high))


def floored(chances: Floats) -> Floats:
    """The chances with none below `LEAST`, still summing to 1."""
    raised = chances < LEAST
    if not raised.any():
        return chances
    spare = 1.0 - LEAST * raised.sum()
    kept = np.where(raised, 0.0, chances)
    return np.where(raised, LEAST, kept * (spare / kept.sum()))
