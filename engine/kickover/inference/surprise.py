"""How well each answer sits with all the others, exactly: what the rest makes of it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from kickover.inference.belief import Attempt, Evidence, in_order
from kickover.inference.compiled_model import Model


def fits(
    model: Model, evidence: Sequence[Evidence], attempts: Sequence[Attempt] = ()
) -> tuple[tuple[Evidence, float], ...]:
    """Each answer with its chance, given all the other answers and the repairs that did not help.

    Answers that the others make impossible to judge are left out. Worked out for all of them in one pass
    forward and one backward, as in a hidden Markov chain: repairs change the engine between answers.
    """
    steps = in_order(evidence, attempts)
    before = [model.hypotheses.prior]
    for step in steps:
        mass = (
            before[-1] * model.likelihood(step.check, step.weights, step.state)
            if isinstance(step, Evidence)
            else model.effect(step.repair).failed(before[-1], step.change)
        )
        total = float(mass.sum())
        before.append(mass / total if total > 0.0 else mass)
    found: list[tuple[Evidence, float]] = []
    ahead = np.ones_like(model.hypotheses.prior)
    for step, mass in zip(reversed(steps), reversed(before[:-1]), strict=True):
        if not isinstance(step, Evidence):
            ahead = model.effect(step.repair).before(ahead, step.change)
            continue
        likelihood = model.likelihood(step.check, step.weights, step.state)
        others = mass * ahead
        total = float(others.sum())
        if total > 0.0:
            found.append((step, float(others @ likelihood) / total))
        ahead = ahead * likelihood
        most = float(ahead.max())
        ahead = ahead / most if most > 0.0 else ahead
    return tuple(reversed(found))
