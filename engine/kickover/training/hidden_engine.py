"""The engine of a drill: a fault that is hidden, and what checks on it show.

Findings come from the chances of the same model with which the planner reasons; a reading lies in the band of
its finding and is blurred by the error of its instrument.

The luck of one check does not depend on what was asked before it: two people with the same seed who make the
same check see the same thing, on any computer. Numbers are taken from SHA-256 (FIPS 180-4).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from hashlib import sha256
from math import exp, floor, log, log10
from statistics import NormalDist

import numpy as np

from kickover.core.ids import CheckId, EventId, RepairId
from kickover.core.problem import KickoverError
from kickover.inference.compiled_model import EngineState, Model
from kickover.inference.hypotheses import ENDED
from kickover.inference.soft_evidence import standard_error
from kickover.model.library import Check, CheckKind, Reading
from kickover.session.entries import Answered, Measured

_WIDE_OPEN = 1000.0
"""A last band that reaches this many times its lower limit is read all over, as an open winding is."""
_BITS = 53


class DrillError(KickoverError):
    """A drill that cannot be set up as it was asked for."""


@dataclass(frozen=True, slots=True)
class Level:
    """One level.

    `lucky` answers fall as the model's chances have it; else the likeliest is given. `error` multiplies the
    error of instruments. `lies` is the share of questions to which the owner gives a wrong answer.
    `warns` says whether the bench points out that fuel vapour is about.
    """

    number: int
    title: str
    faults: int
    lucky: bool
    error: float
    lies: float
    warns: bool


LEVELS: Mapping[int, Level] = {
    level.number: level
    for level in (
        Level(1, "one fault, honest answers", 1, False, 0.0, 0.0, True),
        Level(2, "one fault, answers as in life", 1, True, 1.0, 0.0, True),
        Level(3, "one fault, a noisy gauge", 1, True, 3.0, 0.0, False),
        Level(4, "two faults, answers as in life", 2, True, 1.0, 0.0, False),
        Level(5, "two faults, a noisy gauge and a lying owner", 2, True, 3.0, 0.35, False),
    )
}
"""The levels by number; shares and factors are our own choice (estimate)."""


@dataclass(frozen=True, slots=True)
class HiddenEngine:
    """An engine on which one hypothesis of the model, `row`, is true."""

    model: Model
    row: int
    seed: int
    level: Level

    @property
    def causes(self) -> tuple[EventId, ...]:
        """The hidden faults."""
        return self.model.hypotheses.causes_of(self.row)

    def gone(self, made: AbstractSet[RepairId]) -> bool:
        """Tell whether the complaint is gone after the repairs `made`."""
        return self._row_after(made) == ENDED

    def _row_after(self, made: AbstractSet[RepairId]) -> int:
        """What is wrong after some repairs, as a row; on an engine without luck they all work."""
        mended = frozenset(
            cause
            for repair in made
            for cause, chance in self.model.repairs[repair].cures.items()
            if not self.level.lucky or uniform(self.seed, repair, cause, "works") < chance
        )
        return self.model.hypotheses.row_left(self.row, mended)

    def answer(self, check: CheckId, state: EngineState, attempt: int = 0) -> Answered | Measured:
        """What `check` shows in `state`. `attempt` counts how often it was made before.

        The finding stays the same as long as the engine does; only the error of an instrument is new.
        """
        known = self.model.checks[check]
        line = int(self.model.line_positions(check, state)[self._row_after(state.made)])
        chances = self.model.chances[check][:, line]
        place = (
            drawn(chances.tolist(), self.seed, check, line) if self.level.lucky else int(np.argmax(chances))
        )
        if self.lied(check):
            others = [other for other in range(len(known.findings)) if other != place]
            place = others[drawn([1.0] * len(others), self.seed, check, "which lie")]
        if known.reading is None:
            return Answered(check, known.findings[place].id)
        value = self._reading(known, known.reading, place, line, attempt)
        return Measured(check, value, value)

    def lied(self, check: CheckId) -> bool:
        """Tell whether the owner's answer to a question is untrue."""
        asked = self.model.checks[check].kind is CheckKind.QUESTION
        return asked and uniform(self.seed, check, "lie") < self.level.lies

    def _reading(self, check: Check, reading: Reading, place: int, line: int, attempt: int) -> float:
        edges = self.model.edges[check.id]
        share = 0.1 + 0.8 * uniform(self.seed, check.id, line, "true value")
        true = _within(reading, edges, place, share)
        spread = standard_error(reading, true)
        blurred = true + self.level.error * spread * normal(self.seed, check.id, attempt, "error")
        least, most = _ends(reading)
        shown = _rounded(min(max(blurred, least), most), spread)
        if self.level.error == 0.0 and sum(shown >= edge for edge in edges) != place:
            return float(f"{true:.6g}")
        return shown


def draw_engine(model: Model, level: Level, seed: int, faults: Sequence[EventId] = ()) -> HiddenEngine:
    """Draw the hidden faults by their rates, from `faults` if there are any. Raises DrillError for none.

    Two faults are such that each alone keeps the complaint up, if there are such, so that both must be found.
    """
    hypotheses = model.hypotheses
    wanted = frozenset(faults)
    allowed = np.array([not wanted or cause in wanted for cause in hypotheses.structure.causes] + [True])
    fitting = ((hypotheses.members >= 0).sum(axis=1) == level.faults) & allowed[hypotheses.members].all(
        axis=1
    )
    fitting[hypotheses.unlisted] = False
    each_alone = fitting.copy()
    for place in range(level.faults):
        each_alone &= (hypotheses.persists >> (1 << place) & 1).astype(bool)
    rows = np.flatnonzero(each_alone if each_alone.any() else fitting).tolist()
    if not rows:
        which = ", ".join(sorted(wanted)) or "the library's causes"
        raise DrillError(
            f"no {level.faults} of {which} bring {' and '.join(hypotheses.complaints)} about on "
            f"{model.machine.id}; choose other faults, or another level"
        )
    weights = [float(hypotheses.prior[row]) for row in rows]
    return HiddenEngine(model, rows[drawn(weights, seed, "engine")], seed, level)


def _ends(reading: Reading) -> tuple[float, float]:
    return reading.least.within(reading.unit), reading.most.within(reading.unit)


def _within(reading: Reading, edges: tuple[float, ...], place: int, share: float) -> float:
    """A value at `share` of the way through a band.

    The outer bands reach as far as their neighbour is wide, since 40 bar is no plausible compression; but
    a meter on an open winding may show anything.
    """
    least, most = _ends(reading)
    if not edges:
        return least + share * (most - least)
    width = edges[1] - edges[0] if len(edges) > 1 else abs(edges[0]) or (most - least) / 10.0
    if place == 0:
        low, high = max(least, edges[0] - width), edges[0]
    elif place == len(edges):
        low = edges[-1]
        if low > 0.0 and most / low >= _WIDE_OPEN:
            return exp(log(low) + share * (log(most) - log(low)))
        width = edges[-1] - edges[-2] if len(edges) > 1 else width
        high = min(most, low + width)
    else:
        low, high = edges[place - 1], edges[place]
    return low + share * (high - low)


def _rounded(value: float, spread: float) -> float:
    """A value as the instrument shows it: to the decimal that its error allows."""
    if spread <= 0.0:
        return float(f"{value:.3g}")
    decimals = -floor(log10(spread))
    return float(round(value, decimals)) if decimals <= 12 else value


def uniform(*matter: object) -> float:
    """A number strictly between 0 and 1 that is fixed by `matter`."""
    digest = sha256("/".join(str(part) for part in matter).encode()).digest()
    return ((int.from_bytes(digest[:8], "big") >> (64 - _BITS)) + 0.5) / 2.0**_BITS


def normal(*matter: object) -> float:
    """A number of the standard normal distribution that is fixed by `matter`."""
    return NormalDist().inv_cdf(uniform(*matter))


def drawn(weights: Sequence[float], *matter: object) -> int:
    """A place in `weights`, drawn in their proportion; their sum must be above 0."""
    left = uniform(*matter) * sum(weights)
    for place, weight in enumerate(weights):
        left -= weight
        if left < 0.0:
            return place
    return max(place for place, weight in enumerate(weights) if weight > 0.0)
