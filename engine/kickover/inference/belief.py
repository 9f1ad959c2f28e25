"""Belief: the posterior over the hypotheses, given the answers so far.

A belief is a value. An answer makes a new one, and undo is keeping the old one. Evidence may be soft, and
evidence that no listed cause can explain goes to the unlisted cause, so nothing is ever divided by zero.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from kickover.core.ids import CheckId, EventId, RepairId
from kickover.inference.compiled_model import EngineState, Model
from kickover.inference.hypotheses import Floats
from kickover.inference.repair_effect import Change

FAIR_SHARE = 0.2
"""The share of what a repair can have ended from which on a cause is named for it (own choice)."""


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
class Attempt:
    """A repair that did not end the complaint, and how that had changed, if it was told."""

    repair: RepairId
    change: Change | None = None


@dataclass(frozen=True, slots=True)
class Ranked:
    """A cause and its posterior probability, marginal over the hypotheses."""

    cause: EventId
    probability: float


@dataclass(frozen=True, slots=True)
class Belief:
    """The posterior, shape (H,), summing to 1, after the repairs of `attempts`, in order.

    `evidence_probability` is how likely the latest answer was before it was given.
    """

    model: Model
    posterior: Floats
    attempts: tuple[Attempt, ...] = ()
    evidence_probability: float = 1.0

    @property
    def unlisted(self) -> float:
        """The probability that the cause is not in the library: the undeveloped events and the rest."""
        return float(self.posterior[self.model.hypotheses.unlisted].sum())

    @property
    def fits(self) -> bool:
        """False when none of the library's causes explains the evidence."""
        return self.unlisted < 0.5

    @property
    def made(self) -> frozenset[RepairId]:
        """The repairs that were made and did not end the complaint."""
        return frozenset(attempt.repair for attempt in self.attempts)

    def after(self, evidence: Evidence) -> Belief:
        """The belief after an answer."""
        likelihood = self.model.likelihood(evidence.check, evidence.weights, evidence.state)
        return self._weighed(self.posterior * likelihood, self.attempts)

    def after_repair(self, repair: RepairId, change: Change | None = None) -> Belief:
        """The belief after a repair that did not end the complaint; the same again tells nothing."""
        if repair in self.made:
            return self
        masses = self.model.effect(repair).failed(self.posterior, change)
        return self._weighed(masses, (*self.attempts, Attempt(repair, change)))

    def after_all(self, repairs: Sequence[RepairId], change: Change | None = None) -> Belief:
        """The belief after several repairs in order, none of which ended the complaint."""
        belief = self
        for repair in repairs:
            belief = belief.after_repair(repair, change)
        return belief

    def cured_by(self, repair: RepairId) -> float:
        """The probability that `repair` ends the complaint."""
        return 0.0 if repair in self.made else float(self.posterior @ self.model.effect(repair).ends)

    def ended_by(self, repairs: Sequence[RepairId]) -> Belief:
        """What was wrong, when the complaint is gone after `repairs`, made in order before one proof.

        The rows are the engine before the last repairs; where they explain nothing the belief stays as it is.
        """
        staying = np.ones_like(self.posterior)
        for repair in reversed([one for one in dict.fromkeys(repairs) if one not in self.made]):
            staying = self.model.effect(repair).before(staying)
        ended = self.posterior * (1.0 - staying)
        total = float(ended.sum())
        return replace(self, posterior=ended / total, evidence_probability=total) if total > 0.0 else self

    def credited(self, repairs: Sequence[RepairId]) -> tuple[EventId, ...]:
        """The causes that `repairs` can have ended, likeliest first: those with a fair share of it."""
        cures = {cause for repair in repairs for cause in self.model.repairs[repair].cures}
        ranked = [one for one in self.ranking() if one.cause in cures and one.probability > 0.0]
        least = FAIR_SHARE * sum(one.probability for one in ranked)
        return tuple(one.cause for one in ranked if one.probability >= least)

    def ranking(self) -> tuple[Ranked, ...]:
        """Every cause that is still possible, likeliest first, equals by id."""
        marginal = self.marginals()
        ordered = sorted(marginal.items(), key=lambda pair: (-pair[1], pair[0]))
        return tuple(Ranked(cause, probability) for cause, probability in ordered)

    def marginals(self) -> Mapping[EventId, float]:
        """The probability of each cause being present, over all hypotheses."""
        hypotheses = self.model.hypotheses
        names = hypotheses.structure.causes
        total = np.zeros(len(names) + 1)
        for column in hypotheses.members.T:
            total += np.bincount(
                np.where(column < 0, len(names), column), weights=self.posterior, minlength=len(names) + 1
            )
        return {name: float(mass) for name, mass in zip(names, total[:-1], strict=True)}

    def sets(self, least: float = 0.0) -> tuple[tuple[tuple[EventId, ...], float], ...]:
        """The sets of causes with more than `least` probability, likeliest first, links summed out."""
        firsts, _ = self.model.sets_of_causes()
        mass = self.set_masses()
        causes_of, unlisted = self.model.hypotheses.causes_of, self.model.hypotheses.unlisted
        kept = [
            (causes_of(int(firsts[number])), float(mass[number]))
            for number in np.flatnonzero(mass > least)
            if not unlisted[firsts[number]]
        ]
        return tuple(sorted(kept, key=lambda pair: (-pair[1], pair[0])))

    def set_masses(self) -> Floats:
        """The probability of each set of `Model.sets_of_causes`, links summed out."""
        firsts, numbers = self.model.sets_of_causes()
        return np.bincount(numbers, weights=self.posterior, minlength=len(firsts)).astype(np.float64)

    def _weighed(self, masses: Floats, attempts: tuple[Attempt, ...]) -> Belief:
        total = float(masses.sum())
        if total > 0.0:
            return Belief(self.model, masses / total, attempts, total)
        only_unlisted = np.zeros_like(self.posterior)
        only_unlisted[-1] = 1.0
        return Belief(self.model, only_unlisted, attempts, 0.0)


def prior_belief(model: Model) -> Belief:
    """The belief before any answer."""
    return Belief(model, model.hypotheses.prior)


def believe(model: Model, evidence: Sequence[Evidence], attempts: Sequence[Attempt] = ()) -> Belief:
    """The belief after all of `evidence` and `attempts`; between two repairs the order does not matter."""
    belief = prior_belief(model)
    for step in in_order(evidence, attempts):
        if isinstance(step, Evidence):
            belief = belief.after(step)
        else:
            belief = belief.after_repair(step.repair, step.change)
    return belief


def in_order(evidence: Sequence[Evidence], attempts: Sequence[Attempt]) -> tuple[Evidence | Attempt, ...]:
    """Answers and failed repairs in an order in which they can have come about."""
    steps: list[Evidence | Attempt] = []
    for count in range(len(attempts) + 1):
        steps += attempts[count - 1 : count] if count else []
        steps += [one for one in evidence if len(one.state.made) == count]
    return tuple(steps)
