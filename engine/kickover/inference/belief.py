"""Belief: the posterior over the hypotheses, given the answers so far.

A belief is a value. An answer makes a new one, and undo is keeping the old one. Evidence may be soft, and
evidence that no listed cause can explain goes to the unlisted cause, so nothing is ever divided by zero.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from kickover.core.ids import CheckId, EventId, RepairId
from kickover.inference.compiled_model import EngineState, Model
from kickover.inference.hypotheses import UNLISTED, Floats


@dataclass(frozen=True, slots=True)
class Evidence:
    """One answer: a check, the weight of each of its findings, and the state in which it was made."""

    check: CheckId
    weights: tuple[float, ...]
    state: EngineState

    @property
    def seen(self) -> int:
        """The position of the finding that weighs most."""
        return max(range(len(self.weights)), key=self.weights.__getitem__)


@dataclass(frozen=True, slots=True)
class Ranked:
    """A cause and its posterior probability, marginal over the hypotheses."""

    cause: EventId
    probability: float


@dataclass(frozen=True, slots=True)
class Belief:
    """The posterior, shape (H,), summing to 1; `cured` are the causes that repairs have ended.

    `evidence_probability` is how likely the latest answer was before it was given.
    """

    model: Model
    posterior: Floats
    cured: frozenset[EventId] = frozenset()
    evidence_probability: float = 1.0

    @property
    def unlisted(self) -> float:
        """The probability that the cause is not in the library."""
        return float(self.posterior[-UNLISTED:].sum())

    @property
    def fits(self) -> bool:
        """False when none of the library's causes explains the evidence."""
        return self.unlisted < 0.5

    def after(self, evidence: Evidence) -> Belief:
        """The belief after an answer."""
        likelihood = self.model.likelihood(evidence.check, evidence.weights, evidence.state)
        return self._weighed(likelihood, self.cured)

    def corrected(self, earlier: Evidence, answer: Evidence) -> Belief:
        """The belief with `answer` in the place of `earlier`, which it already holds."""
        old = self.model.likelihood(earlier.check, earlier.weights, earlier.state)
        new = self.model.likelihood(answer.check, answer.weights, answer.state)
        ratio = np.divide(new, old, out=np.zeros_like(new), where=old > 0.0)
        return self._weighed(ratio, self.cured)

    def after_repair(self, repair: RepairId) -> Belief:
        """The belief after a repair was made and the complaint stayed."""
        cured = self.cured | frozenset(self.model.repairs[repair].cures)
        return self._weighed(self.persisting(cured).astype(np.float64), cured)

    def cured_by(self, repair: RepairId) -> float:
        """The probability that `repair` ends the complaint."""
        cured = self.cured | frozenset(self.model.repairs[repair].cures)
        return 1.0 - float(self.posterior[self.persisting(cured)].sum())

    def persisting(self, cured: frozenset[EventId]) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
        """Where the complaint would still be there with the causes `cured` mended: shape (H,)."""
        hypotheses = self.model.hypotheses
        mended = np.array([cause in cured for cause in hypotheses.structure.causes] + [True])
        left = ~mended[hypotheses.members]
        mask = left @ (1 << np.arange(left.shape[1]))
        persists: np.ndarray[tuple[int], np.dtype[np.bool_]] = (hypotheses.persists >> mask & 1).astype(bool)
        persists[-UNLISTED:] = True
        return persists

    def ranking(self) -> tuple[Ranked, ...]:
        """Every cause that is still possible, likeliest first, equals by id."""
        marginal = self.marginals()
        ordered = sorted(marginal.items(), key=lambda pair: (-pair[1], pair[0]))
        return tuple(Ranked(cause, probability) for cause, probability in ordered)

    def marginals(self) -> Mapping[EventId, float]:
        """The probability of each cause being present, over all hypotheses, cured ones left out."""
        hypotheses = self.model.hypotheses
        names = hypotheses.structure.causes
        total = np.zeros(len(names) + 1)
        for column in hypotheses.members.T:
            total += np.bincount(
                np.where(column < 0, len(names), column), weights=self.posterior, minlength=len(names) + 1
            )
        return {
            name: float(mass) for name, mass in zip(names, total[:-1], strict=True) if name not in self.cured
        }

    def sets(self, least: float = 0.0) -> tuple[tuple[tuple[EventId, ...], float], ...]:
        """The sets of causes with more than `least` probability, likeliest first, links summed out."""
        firsts, _ = self.model.sets_of_causes()
        mass = self.set_masses()
        causes_of = self.model.hypotheses.causes_of
        kept = [
            (causes_of(int(firsts[number])), float(mass[number]))
            for number in np.flatnonzero(mass > least)
            if firsts[number] < self.model.hypotheses.count - UNLISTED
        ]
        return tuple(sorted(kept, key=lambda pair: (-pair[1], pair[0])))

    def set_masses(self) -> Floats:
        """The probability of each set of `Model.sets_of_causes`, links summed out."""
        firsts, numbers = self.model.sets_of_causes()
        return np.bincount(numbers, weights=self.posterior, minlength=len(firsts)).astype(np.float64)

    def _weighed(self, likelihood: Floats, cured: frozenset[EventId]) -> Belief:
        weighed = self.posterior * likelihood
        total = float(weighed.sum())
        if total > 0.0:
            return Belief(self.model, weighed / total, cured, total)
        only_unlisted = np.zeros_like(self.posterior)
        only_unlisted[-1] = 1.0
        return Belief(self.model, only_unlisted, cured, 0.0)


def prior_belief(model: Model) -> Belief:
    """The belief before any answer."""
    return Belief(model, model.hypotheses.prior)


def believe(model: Model, evidence: Sequence[Evidence]) -> Belief:
    """The belief after all of `evidence`; the order of the answers does not matter."""
    belief = prior_belief(model)
    for answer in evidence:
        belief = belief.after(answer)
    return belief
