"""Why: what a step separates, and what each answer so far speaks for and against.

Numbers only; the words are the screens' business. The weight of evidence of an answer for a cause is the
logarithm of the ratio of its chance with and without the cause (Good 1950), here in decibans, ten to a
factor of ten.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import log10

import numpy as np

from kickover.core.ids import CheckId, EventId, FindingId
from kickover.inference.belief import Belief, Evidence, Ranked
from kickover.inference.compiled_model import EngineState
from kickover.planning.plan import Plan, StepKind

DECIBAN_LIMIT = 60.0


@dataclass(frozen=True, slots=True)
class Prospect:
    """What one finding of a check would do: how likely it is, and the causes after it, leading ones apart."""

    finding: FindingId
    probability: float
    leading: tuple[Ranked, ...]
    unlisted: float
    marginals: Mapping[EventId, float]


@dataclass(frozen=True, slots=True)
class Weight:
    """What one answer says about one cause, in decibans: positive speaks for it, negative against."""

    check: CheckId
    decibans: float


def prospects(belief: Belief, check: CheckId, state: EngineState, leading: int = 3) -> tuple[Prospect, ...]:
    """What each finding of `check` would do, in the order of its findings."""
    findings = belief.model.checks[check].findings
    result = []
    for place, finding in enumerate(findings):
        weights = tuple(1.0 if place == other else 0.0 for other in range(len(findings)))
        after = belief.after(Evidence(check, weights, state))
        result.append(
            Prospect(
                finding.id,
                after.evidence_probability,
                after.ranking()[:leading],
                after.unlisted,
                after.marginals(),
            )
        )
    return tuple(result)


def decibans(before: Belief, evidence: Evidence, cause: EventId) -> float:
    """The weight of one answer for `cause`, given all that was known before it."""
    model = before.model
    names = model.hypotheses.structure.causes
    if cause not in names:
        return 0.0
    has = (model.hypotheses.members == names.index(cause)).any(axis=1)
    likelihood = model.likelihood(evidence.check, evidence.weights, evidence.state)
    mass_with = float(before.posterior[has].sum())
    mass_without = float(before.posterior[~has].sum())
    if mass_with <= 0.0 or mass_without <= 0.0:
        return 0.0
    with_it = float((before.posterior * likelihood)[has].sum()) / mass_with
    without = float((before.posterior * likelihood)[~has].sum()) / mass_without
    if with_it <= 0.0 or without <= 0.0:
        return 0.0 if with_it == without else (-DECIBAN_LIMIT if with_it <= 0.0 else DECIBAN_LIMIT)
    return float(np.clip(10.0 * log10(with_it / without), -DECIBAN_LIMIT, DECIBAN_LIMIT))


def weights_for(start: Belief, evidence: Sequence[Evidence], cause: EventId) -> tuple[Weight, ...]:
    """What each answer in turn says about `cause`, each given the ones before it."""
    result = []
    belief = start
    for answer in evidence:
        result.append(Weight(answer.check, decibans(belief, answer, cause)))
        belief = belief.after(answer)
    return tuple(result)


def minutes_saved(planned: Plan) -> float:
    """Minutes that the next step saves on average against the best step of another kind or id."""
    others = [step.expected for step in planned.steps[1:] if step.kind is not StepKind.GIVE_UP]
    return max(0.0, min(others) - planned.next.expected) if others else 0.0
