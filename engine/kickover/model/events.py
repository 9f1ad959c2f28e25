"""The tree: complaints on top, gates between, causes and house events below."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated

from kickover.core.ids import CauseId, CheckId, EventId, HouseEventId
from kickover.core.problem import SourcePlace
from kickover.model.authored import (
    IN_PLACE,
    NOT_WRITTEN,
    OWN_ID,
    Chance,
    Factor,
    Key,
    Minutes,
    Sources,
    bounds,
)
from kickover.model.conditions import ALWAYS, TraitCondition
from kickover.model.steps import Proof

RATE_FORM = bounds(
    "a rate word such as `common`, or a number above 0", type=["number", "string"], exclusiveMinimum=0
)
FACTORS_FORM = bounds("house events with the factors on the odds, such as `{rain-or-wash: 3}`")
SECONDARY_FORM = bounds(
    "causes with the chance that they come with it, such as `{nut-loose: 0.2}`", minProperties=1
)
SecondaryChance = Annotated[float, bounds("a chance between 0 and 1", exclusiveMinimum=0, exclusiveMaximum=1)]
PROOF_FORM = bounds("how it is shown that the complaint is gone: `{ask: ..., how: [...], minutes: 2}`")


@dataclass(frozen=True, slots=True)
class Input:
    """One line into a gate.

    `chance` below 1 makes it a weak link: the event passes the gate only when an independent
    condition of that probability is met (the inhibit gate of IEC 61025).
    """

    event: Annotated[EventId, IN_PLACE]
    chance: float = 1.0


@dataclass(frozen=True, slots=True)
class Gate:
    """An event that is true when at least `needed` of its inputs are true (or: 1, and: all of them).

    `undeveloped` is the share of its rate that stands for what is not listed under it, None for the usual.
    """

    id: EventId
    title: str
    needed: Annotated[int, NOT_WRITTEN]
    inputs: Annotated[tuple[Input, ...], Key("of"), bounds("a list of events", minItems=1)]
    place: SourcePlace
    about: str = ""
    only_if: TraitCondition = ALWAYS
    undeveloped: Chance | None = None

    @property
    def mark(self) -> str:
        """The gate mark of IEC 61025: `≥1`, `&`, or `k/n`."""
        if self.needed == 1:
            return "≥1"
        return "&" if self.needed == len(self.inputs) else f"{self.needed}/{len(self.inputs)}"


@dataclass(frozen=True, slots=True)
class Cause:
    """A basic event: a fault with a rate, that a repair cures.

    `rate` is a relative weight before any evidence; `factors` multiply its odds when a house event holds.
    `ride` is false for a fault with which the machine must not be ridden. `under` are or-gates that it stands
    under besides those that name it: a new cause is one edit of one file. An `undeveloped` one stands for
    what is not listed under its gate; it is never written.
    """

    id: EventId
    title: str
    rate: Annotated[float, RATE_FORM]
    place: SourcePlace
    about: str = ""
    rate_word: Annotated[str, NOT_WRITTEN] = ""
    only_if: TraitCondition = ALWAYS
    factors: Annotated[Mapping[HouseEventId, Factor], FACTORS_FORM] = field(default_factory=dict)
    prevention: str = ""
    ride: bool = True
    sources: Sources = ()
    under: tuple[EventId, ...] = ()
    undeveloped: Annotated[bool, NOT_WRITTEN] = False


@dataclass(frozen=True, slots=True)
class SecondaryFaults:
    """The causes that `cause` brings about, each with the chance that it is there when `cause` is.

    Secondary damage and common causes: shaking loosens nuts, water reaches fuel and ignition both.
    """

    cause: Annotated[CauseId, OWN_ID]
    events: Annotated[Mapping[CauseId, SecondaryChance], SECONDARY_FORM]
    sources: Sources
    place: SourcePlace
    about: str = ""

    @property
    def id(self) -> EventId:
        """The id under which it stands, that of the cause."""
        return self.cause


@dataclass(frozen=True, slots=True)
class HouseEvent:
    """A house event (NUREG-0492): something known of the situation, true or false, never a fault.

    `excludes` are house events that this one makes false. `wait` is the number of minutes in which
    it can be brought about (letting a hot engine cool), or None when it cannot.
    """

    id: EventId
    title: str
    ask: str
    place: SourcePlace
    excludes: tuple[HouseEventId, ...] = ()
    wait: Minutes | None = None
    how: str = ""


@dataclass(frozen=True, slots=True)
class Complaint:
    """What the rider reports: the top event `gate`, its synonyms, and the proof that it is gone.

    `strands` says that the machine cannot be ridden home with it; what it `settles` are the checks whose
    answer is in the complaint itself, so that they are not made.
    """

    gate: Annotated[Gate, IN_PLACE]
    words: Annotated[tuple[str, ...], bounds("the rider's other words for it, as a list", minItems=1)]
    proof: Annotated[Proof, PROOF_FORM]
    implies: tuple[HouseEventId, ...] = ()
    settles: tuple[CheckId, ...] = ()
    strands: Annotated[bool, bounds("`true` when the machine cannot be ridden home with it")] = False

    @property
    def id(self) -> EventId:
        """The id of the complaint's top event."""
        return self.gate.id

    @property
    def place(self) -> SourcePlace:
        """Where the complaint is written."""
        return self.gate.place

    @property
    def title(self) -> str:
        """The complaint in a rider's words."""
        return self.gate.title
