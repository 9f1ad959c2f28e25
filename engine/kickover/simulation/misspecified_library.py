"""A library whose numbers are off: how engines really are when the authored rates and chances are wrong.

Used to see what a plan is worth when it believes in the wrong numbers.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from kickover.core.ids import FindingId
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
