"""Engines that are not as the library says: numbers that are off, and two causes more often.

Used to see what a plan is worth when it believes in the wrong numbers.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from kickover.core.ids import FindingId
from kickover.inference.compiled_model import Model
from kickover.inference.hypotheses import Floats
from kickover.model.library import Check, Library, Line

MOST_ERROR = 0.5
"""The chance of anything but a line's leading finding is never raised above this."""


def misspecified_library(library: Library, seed: int, factor: float) -> Library:
    """The library with each rate, and each line's chance of error, off by a factor of up to `factor`.

    The factors are drawn evenly on a logarithmic scale between 1 / `factor` and `factor`; a `factor` of 1
    changes nothing.
    """
    rng = np.random.default_rng([seed, 97])
    spread = float(np.log(factor))

    def drawn() -> float:
        return float(np.exp(rng.uniform(-spread, spread)))

    causes = {id_: replace(cause, rate=cause.rate * drawn()) for id_, cause in sorted(library.causes.items())}
    checks = {
        id_: _with_errors(check, [drawn() for _ in check.lines])
        for id_, check in sorted(library.checks.items())
    }
    return replace(
        library,
        causes={id_: causes[id_] for id_ in library.causes},
        checks={id_: checks[id_] for id_ in library.checks},
    )


def _with_errors(check: Check, factors: list[float]) -> Check:
    lines = tuple(_with_error(line, factor) for line, factor in zip(check.lines, factors, strict=True))
    return replace(check, lines=lines)


def _with_error(line: Line, factor: float) -> Line:
    leading = max(line.chances, key=lambda finding: (line.chances[finding], finding))
    error = 1.0 - line.chances[leading]
    if error <= 0.0:
        return line
    wrong = min(error * factor, max(error, MOST_ERROR))
    chances: Mapping[FindingId, float] = {
        finding: 1.0 - wrong if finding == leading else chance * wrong / error
        for finding, chance in line.chances.items()
    }
    return replace(line, chances=chances)


def with_pairs(model: Model, pairs: float) -> Floats:
    """The chance of each hypothesis when the share `pairs` of engines has two causes. Shape (H,).

    Half of the pairs, where there are any, are a cause and another that it brings; within its kind a
    hypothesis comes as often as the model says.
    """
    hypotheses, library = model.hypotheses, model.library
    size = (hypotheses.members >= 0).sum(axis=1)
    bringing = {(one, other) for one, brings in library.brings.items() for other in brings.events}
    brought = np.zeros(hypotheses.count, dtype=bool)
    for row in np.flatnonzero(size == 2).tolist():
        first, second = hypotheses.causes_of(row)
        brought[row] = (first, second) in bringing or (second, first) in bringing
    chances = np.zeros(hypotheses.count)
    for kind, share in (
        (size < 2, 1.0 - pairs),
        (brought, pairs / 2.0),
        ((size == 2) & ~brought, pairs / 2.0),
    ):
        mass = float(hypotheses.prior[kind].sum())
        chances[kind] = hypotheses.prior[kind] * (share / mass) if mass > 0.0 else 0.0
    return np.asarray(chances / chances.sum())
