"""How hard a drill is: how many faults hide, and how far answers and instruments can be trusted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


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
