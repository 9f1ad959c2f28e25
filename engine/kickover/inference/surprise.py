"""How well each answer sits with all the others, and which check would settle it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from kickover.core.ids import CheckId
from kickover.inference.belief import Attempt, Evidence, believe, in_order
from kickover.inference.compiled_model import EngineState, Model
from kickover.inference.hypotheses import Floats


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


SETTLES = 0.1
"""The expected weight of evidence, both ways and in natural units, below which a check settles nothing
(estimate)."""


SHORTEST = 0.1
"""Minutes that any check is reckoned to take."""


def settling_check(
    model: Model,
    odd: Evidence,
    others: Sequence[Evidence],
    attempts: Sequence[Attempt],
    minutes: Mapping[CheckId, float],
    now: EngineState,
) -> CheckId | None:
    """The check that soonest tells whether the answer `odd` is right, of those in `minutes`; None for none.

    Each is valued by its expected weight of evidence between the answer and its contrary, both ways (the
    divergence of Jeffreys 1946), a minute. Those that settle nothing by themselves are left out.
    """
    if min(odd.weights) == max(odd.weights):
        return None
    contrary = replace(odd, weights=tuple(max(odd.weights) - weight for weight in odd.weights))
    against = believe(model, [*others, contrary], attempts).posterior
    believed = believe(model, [*others, odd], attempts).posterior
    best: tuple[float, CheckId] | None = None
    for check, spent in sorted(minutes.items()):
        telling = _divergence(*(_foretold(model, check, mass, now) for mass in (believed, against)))
        pays = telling / max(spent, SHORTEST)
        if check != odd.check and telling >= SETTLES and (best is None or pays > best[0]):
            best = (pays, check)
    return None if best is None else best[1]


def _foretold(model: Model, check: CheckId, posterior: Floats, now: EngineState) -> Floats:
    """The chance of each finding of a check."""
    chances = model.chances[check]
    lines = model.line_positions(check, now)
    return np.asarray(chances @ np.bincount(lines, weights=posterior, minlength=chances.shape[1]))


def _divergence(first: Floats, second: Floats) -> float:
    kept = (first > 0.0) & (second > 0.0)
    return float(((first - second)[kept] * np.log(first[kept] / second[kept])).sum())
