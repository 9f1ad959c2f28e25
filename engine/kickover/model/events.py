"""The tree: complaints on top, gates between, causes and house events below."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

from kickover.core.ids import CauseId, EventId, HouseEventId, SourceId
from kickover.core.problem import SourcePlace
from kickover.model.authored import IN_PLACE, OWN_ID, Key
from kickover.model.conditions import TraitCondition
from kickover.model.steps import Proof


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
    needed: int
    inputs: Annotated[tuple[Input, ...], Key("of")]
    only_if: TraitCondition
    about: str
    place: SourcePlace
    undeveloped: float | None = None

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
    rate: float
    rate_word: str
    factors: Mapping[HouseEventId, float]
    only_if: TraitCondition
    about: str
    prevention: str
    ride: bool
    sources: Annotated[tuple[SourceId, ...], Key("source")]
    place: SourcePlace
    undeveloped: bool = False
    under: tuple[EventId, ...] = ()


@dataclass(frozen=True, slots=True)
class SecondaryFaults:
    """The causes that `cause` brings about, each with the chance that it is there when `cause` is.

    Secondary damage and common causes: shaking loosens nuts, water reaches fuel and ignition both.
    """

    cause: Annotated[CauseId, OWN_ID]
    events: Mapping[CauseId, float]
    about: str
    sources: Annotated[tuple[SourceId, ...], Key("source")]
    place: SourcePlace

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
    excludes: tuple[HouseEventId, ...]
    wait: float | None
    how: str
    place: SourcePlace


@dataclass(frozen=True, slots=True)
class Complaint:
    """What the rider reports: the top event `gate`, its synonyms, and the proof that it is gone.

    `strands` says that the machine cannot be ridden home with it.
    """

    gate: Annotated[Gate, IN_PLACE]
    words: tuple[str, ...]
    implies: tuple[HouseEventId, ...]
    proof: Proof
    strands: bool = False

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
