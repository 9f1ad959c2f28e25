"""The expected minutes of repairing in the best order, with no further checks.

Repairs go by probability over minutes (Kadane and Simon 1977; the order used for expected cost of repair by
Heckerman, Breese and Rommelse 1995), and the sequence is cut where giving up becomes cheaper than going on.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kickover.reason.hypotheses import Floats


@dataclass(frozen=True, slots=True)
class Sequence:
    """Repairs in order, as positions, and the expected minutes of doing them until the complaint is gone."""

    order: tuple[int, ...]
    minutes: float


def best_sequence(mass: Floats, minutes: Floats, rest: float, give_up: float) -> Sequence:
    """The best order of repairs when repair g ends `mass[g]` of the hypotheses and `rest` is beyond all of them."""
    order, _, cost, cut = _ordered(mass[None, :], minutes[None, :], np.array([rest]), give_up)
    return Sequence(tuple(int(one) for one in order[0, : cut[0]]), float(cost[0]))


def expected_minutes(mass: Floats, minutes: Floats, rest: Floats, give_up: float) -> Floats:
    """Expected minutes of repair for many beliefs at once, not normalised.

    `mass` and `minutes` have shape (N, G), `rest` (N,); the result, shape (N,), carries the weight of
    each row's total mass.
    """
    return _ordered(mass, minutes, rest, give_up)[2]


def _ordered(
    mass: Floats, minutes: Floats, rest: Floats, give_up: float
) -> tuple[NDArray[np.intp], Floats, Floats, NDArray[np.intp]]:
    order = np.argsort(-(mass / minutes), axis=1, kind="stable")
    sorted_mass = np.take_along_axis(mass, order, axis=1)
    sorted_minutes = np.take_along_axis(minutes, order, axis=1)
    total = mass.sum(axis=1) + rest
    left = total[:, None] - np.cumsum(sorted_mass, axis=1)
    left = np.hstack([total[:, None], np.maximum(left, rest[:, None])])
    spent = np.hstack([np.zeros((len(mass), 1)), np.cumsum(sorted_minutes * left[:, :-1], axis=1)])
    costs = spent + left * give_up
    cut = np.argmin(costs, axis=1)
    return order, sorted_mass, np.take_along_axis(costs, cut[:, None], axis=1)[:, 0], cut
