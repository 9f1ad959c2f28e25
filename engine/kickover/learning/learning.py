"""Learning from cases: rates of causes and chances of checks, before and after, with a judgement on both.

Pure but for the randomness that is handed in: the same cases, library and seed give the same result.

Whether learning helps is judged on cases that were held back, by log loss: each fold of the cases is foretold
from the others. The gain is how much the mean of -ln(probability given to what came true) falls against the
library as it is; its interval is the normal one over cases.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from math import sqrt

import numpy as np

from kickover.core.ids import CheckId, EventId, FindingId
from kickover.inference.hypotheses import Floats
from kickover.learning.likely_causes import Grounds
from kickover.learning.rates import (
    Counts,
    GammaPrior,
    draw_rates,
    floored,
    learn,
    linked,
    prior_worth,
    shares,
    update,
)
from kickover.learning.rows import CaseText
from kickover.learning.tally import Tally, tally
from kickover.model.library import Library

DRAWS = 6000
MIDDLE = 0.95
"""The share of probability inside a credible interval."""

FEWEST = 20
"""With fewer cases held back than this no judgement is given."""

_JUDGING_DRAWS = 400
_SPREAD = 1.96

LARGE_CHANGE = 2.0
FEW_CASES = 5
"""A rate that moves by a larger factor than the first on fewer cases than the second is not taken unasked."""


@dataclass(frozen=True, slots=True)
class Strength:
    """What the library's numbers are worth: cases of its cause for a rate, answers for a line of a check."""

    rates: float = 2.0
    chances: float = 10.0


@dataclass(frozen=True, slots=True)
class LearnedRate:
    """A rate before and after, its credible interval, and the cases known to be of this cause alone.

    `one_import` tells that all of them came with the same import.

    `shared` are cases of this cause or of others. Rates are relative: causes that cases link keep their sum.
    """

    cause: EventId
    before: float
    after: float
    low: float
    high: float
    cases: int
    shared: int
    one_import: bool = False

    @property
    def supported(self) -> bool:
        """False for a change by more than a factor of 2 that few cases, or one import alone, speak for."""
        change = max(self.after, self.before) / min(self.after, self.before)
        return change <= LARGE_CHANGE or (self.cases + self.shared >= FEW_CASES and not self.one_import)


@dataclass(frozen=True, slots=True)
class LearnedChance:
    """The chance of a finding on one line of a check, before and after, its interval, and its answers.

    `answers` counts those with this finding, `of` all on the line. Fractions come from unsure answers.
    """

    check: CheckId
    line: int
    finding: FindingId
    before: float
    after: float
    low: float
    high: float
    answers: float
    of: float


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


@dataclass(frozen=True, slots=True)
class LearnedRates:
    """All that was learned, and whether it helps."""

    cases: int
    used: int
    passed_over: Mapping[str, int]
    answers_left: int
    strength: Strength
    rates: tuple[LearnedRate, ...]
    chances: tuple[LearnedChance, ...]
    rates_judged: Judged
    chances_judged: Judged


def learn_from(
    cases: Iterable[CaseText],
    grounds: Grounds,
    strength: Strength,
    seed: int,
    folds: int = 5,
    weights: Mapping[str, float] | None = None,
) -> LearnedRates:
    """Learn from cases, which are gone over once; `weights` say what a case of each import counts."""
    library = grounds.library
    counted = tally(cases, grounds, folds, weights)
    random = np.random.default_rng(seed)

    prior = prior_worth(np.array([library.causes[cause].rate for cause in counted.causes]), strength.rates)
    return LearnedRates(
        cases=counted.cases,
        used=counted.used,
        passed_over=dict(counted.passed_over),
        answers_left=counted.answers_left,
        strength=strength,
        rates=_learned_rates(counted, prior, random),
        chances=tuple(_learned_chances(library, counted, strength)),
        rates_judged=_judge_rates(counted, prior, random),
        chances_judged=_judge_chances(library, counted, strength.chances),
    )


def _learned_rates(counted: Tally, prior: GammaPrior, random: np.random.Generator) -> tuple[LearnedRate, ...]:
    """Every cause of which the cases say something, in the order of the library."""
    counts = counted.counts()
    drawn = draw_rates(prior, counts, DRAWS, random)
    tail = (1.0 - MIDDLE) / 2.0
    low, high = np.quantile(drawn, [tail, 1.0 - tail], axis=0)
    alone, shared = np.zeros(len(counted.causes)), np.zeros(len(counted.causes))
    for alike in counts.alike:
        (alone if len(alike.causes) == 1 else shared)[list(alike.causes)] += alike.count
    groups = linked(counts, len(counted.causes))
    touched = sorted(int(place) for group in groups for place in group)
    return tuple(
        LearnedRate(
            counted.causes[place],
            float(prior.mean[place]),
            float(drawn[:, place].mean()),
            float(low[place]),
            float(high[place]),
            round(alone[place]),
            round(shared[place]),
            len(origins := counted.origins.get(place, set())) == 1 and "" not in origins,
        )
        for place in touched
    )


def _learned_chances(library: Library, counted: Tally, strength: Strength) -> Iterable[LearnedChance]:
    order = {check: place for place, check in enumerate(library.checks)}
    for (check, line), by_fold in sorted(
        counted.answers.items(), key=lambda item: (order[item[0][0]], item[0][1])
    ):
        before, counts = _chances(library, check, line), by_fold.sum(axis=0)
        if counts.sum() <= 0.0:
            continue
        learned = learn(before, counts, strength.chances, MIDDLE)
        columns = (
            before,
            learned.mean,
            learned.low,
            learned.high,
            counts,
            np.full(len(counts), counts.sum()),
        )
        for place, finding in enumerate(library.checks[check].findings):
            told = (float(numbers[place]) for numbers in columns)
            yield LearnedChance(check, line, finding.id, *told)


def _chances(library: Library, check: CheckId, line: int) -> Floats:
    known = library.checks[check]
    return np.array([known.lines[line].chances[finding.id] for finding in known.findings])


def _judge_rates(counted: Tally, prior: GammaPrior, random: np.random.Generator) -> Judged:
    """Judge learned rates by how well they foretell the cause from machine, complaint and situation."""
    losses = []
    for fold in range(counted.folds):
        held_back = counted.counts_in(fold)
        if held_back.alike:
            learned = draw_rates(prior, counted.counts_without(fold), _JUDGING_DRAWS, random).mean(axis=0)
            losses.append(_losses(held_back, prior.mean, learned))
    return _judged(losses)


def _judge_chances(library: Library, counted: Tally, strength: float) -> Judged:
    """Judge learned chances by how well they foretell findings where the cause is known."""
    losses = []
    for (check, line), by_fold in counted.answers.items():
        before = _chances(library, check, line)
        others = by_fold.sum(axis=0) - by_fold
        after = np.array([floored(learned) for learned in update(before, others, strength)])
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
