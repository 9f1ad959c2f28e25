"""Does learning help? Judged on cases that were held back, by log loss.

Each fold of the cases is foretold from the others. The gain is how much the mean of -ln(probability given to
what came true) falls against the library as it is; its interval is the normal one over cases.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import StrEnum
from math import sqrt

import numpy as np

from kickover.core.ids import CheckId
from kickover.inference.hypotheses import Floats
from kickover.learning.rates import Counts, GammaPrior, draw_rates, floored, shares, update
from kickover.learning.tally import Tally

FEWEST = 20
"""With fewer cases held back than this no judgement is given."""

DRAWS = 400
_SPREAD = 1.96


class LearningVerdict(StrEnum):
    """What the cases held back say about learning."""

    HELPS = "helps"
    UNCLEAR = "unclear"
    HURTS = "hurts"
    TOO_FEW = "too-few"


@dataclass(frozen=True, slots=True)
class Judged:
    """Mean log loss before and after learning, over `number` foretold things; the gain and its interval."""

    number: int
    before: float
    after: float
    gain: float
    low: float
    high: float

    @property
    def verdict(self) -> LearningVerdict:
        """Helps or hurts where the whole interval of the gain says so."""
        if self.number < FEWEST:
            return LearningVerdict.TOO_FEW
        if self.low > 0.0:
            return LearningVerdict.HELPS
        return LearningVerdict.HURTS if self.high < 0.0 else LearningVerdict.UNCLEAR


def judge_rates(counted: Tally, prior: GammaPrior, random: np.random.Generator) -> Judged:
    """Judge learned rates by how well they foretell the cause from machine, complaint and situation."""
    losses = []
    for fold in range(counted.folds):
        held_back = counted.counts_in(fold)
        if held_back.alike:
            learned = draw_rates(prior, counted.counts_without(fold), DRAWS, random).mean(axis=0)
            losses.append(_losses(held_back, prior.mean, learned))
    return _judged(losses)


def judge_chances(counted: Tally, chances: Callable[[CheckId, int], Floats], strength: float) -> Judged:
    """Judge learned chances by how well they foretell findings where the cause is known.

    `chances` gives those of the library for a line of a check.
    """
    losses = []
    for (check, line), by_fold in counted.answers.items():
        before = chances(check, line)
        after = np.array(
            [floored(learned) for learned in update(before, by_fold.sum(axis=0) - by_fold, strength)]
        )
        told = np.broadcast_to(-np.log(before), after.shape)
        losses.append(np.stack([by_fold.ravel(), told.ravel(), -np.log(after).ravel()]))
    return _judged(losses)


def _losses(held_back: Counts, before: Floats, after: Floats) -> Floats:
    """Counts with the loss before and after: shape (3, kinds of cases)."""
    old, new = shares(before, held_back.ease), shares(after, held_back.ease)
    rows = [
        (
            alike.count,
            -np.log(old[alike.ground, list(alike.causes)].sum()),
            -np.log(new[alike.ground, list(alike.causes)].sum()),
        )
        for alike in held_back.alike
    ]
    return np.array(rows).T


def _judged(losses: Iterable[Floats]) -> Judged:
    parts = list(losses)
    if not parts:
        return Judged(0, 0.0, 0.0, 0.0, 0.0, 0.0)
    number, before, after = np.hstack(parts)
    total = float(number.sum())
    if total <= 0.0:
        return Judged(0, 0.0, 0.0, 0.0, 0.0, 0.0)
    gain = float(number @ (before - after)) / total
    variance = float(number @ (before - after - gain) ** 2) / max(total - 1.0, 1.0)
    error = _SPREAD * sqrt(variance / total)
    mean_before, mean_after = float(number @ before) / total, float(number @ after) / total
    return Judged(round(total), mean_before, mean_after, gain, gain - error, gain + error)
