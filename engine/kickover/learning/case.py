"""A closed case as a frozen value: what was reported and found, and what the cause turned out to be.

Ids are kept as plain text, since a case outlives the library it was made with. Nothing here judges a case
against a library, and nothing reads or writes it.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from kickover.core.problem import KickoverError

CauseSet = tuple[str, ...]
"""Causes that were there together: one as a rule, at times two."""


class CaseError(KickoverError):
    """A case that cannot be: its message names what is wrong and what would mend it."""


class Confirmed(StrEnum):
    """How it is known that the cause was there.

    `SEEN`: the fault itself was seen. `REPAIR`: the complaint was gone after a repair that cures it.
    `LIKELY`: it was only the best guess, so that nothing can be learned from it without circularity.
    """

    SEEN = "seen"
    REPAIR = "repair"
    LIKELY = "likely"


@dataclass(frozen=True, slots=True)
class MeasuredFinding:
    """What an instrument showed: from `low` to `high` in `unit`, the same twice for a single value."""

    low: float
    high: float
    unit: str


@dataclass(frozen=True, slots=True)
class Seen:
    """One check of a case, with the weight given to each finding: 1 for a sure answer.

    `measured` is kept beside the weights for a reading. `state` are the house events that were true when
    the check was made; None says that they were those of the case.
    """

    check: str
    weights: tuple[tuple[str, float], ...]
    measured: MeasuredFinding | None = None
    state: tuple[str, ...] | None = None

    @property
    def finding(self) -> str:
        """The finding with the largest weight."""
        return max(self.weights, key=lambda pair: pair[1])[0]


@dataclass(frozen=True, slots=True)
class Case:
    """One closed walk.

    `machine` is its id, or its file. `given` are the house events that were true when the complaint was made.
    `causes` are alternatives, likeliest first: one of these sets of causes was there. `repair` is the repair
    after which the complaint was gone, where it is known. `minutes` is None where nobody counted, `library`
    is the version of the library that was used, where there was one. `date` is ISO 8601.
    """

    id: str
    date: str
    machine: str
    complaints: tuple[str, ...]
    given: tuple[str, ...]
    causes: tuple[CauseSet, ...]
    confirmed: Confirmed = Confirmed.SEEN
    repair: str = ""
    seen: tuple[Seen, ...] = ()
    minutes: float | None = None
    library: str = ""
