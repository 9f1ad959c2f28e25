"""What checks and repairs stand on: sources, items, figures, traits, machines, kits, lessons, service."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from kickover.core.ids import (
    CauseId,
    CheckId,
    ComplaintId,
    EventId,
    FigureId,
    HouseEventId,
    ItemId,
    KitId,
    LessonId,
    MachineId,
    ServiceId,
    SourceId,
    TraitId,
)
from kickover.core.problem import SourcePlace
from kickover.model.authored import IN_PLACE, OWN_ID, FromSection, Key
from kickover.model.conditions import ALWAYS, Condition, TraitCondition, holds
from kickover.model.readings import Limit
from kickover.model.steps import Needs
from kickover.units import Quantity


class SourceKind(StrEnum):
    """What a figure or a likelihood rests on."""

    PUBLISHED = "published"
    PRACTICE = "practice"
    ESTIMATE = "estimate"


@dataclass(frozen=True, slots=True)
class RateChanges:
    """How many causes and checks have their numbers from an overlay, and the name of its file."""

    file: str
    causes: int
    checks: int

    def __str__(self) -> str:
        counts = f"{_counted(self.causes, 'cause')}, {_counted(self.checks, 'check')}"
        return f"rates changed by {self.file}: {counts}"


def _counted(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"


@dataclass(frozen=True, slots=True)
class Source:
    """Where a figure, a rate or a rule comes from."""

    id: SourceId
    title: str
    kind: SourceKind
    detail: str
    place: SourcePlace


@dataclass(frozen=True, slots=True)
class Item:
    """A tool or a spare: weight, room, price, place in the pouch, and the items that it serves as well."""

    id: ItemId
    title: str
    spare: Annotated[bool, FromSection("spares")]
    grams: float
    litres: float
    price: float
    serves_as: tuple[ItemId, ...]
    place: SourcePlace
    pocket: str = ""


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure that a machine may state, and what is assumed when it does not.

    `assumed` lists (traits, value) pairs, the first whose traits fit is taken. `follows` is what other
    figures of the machine make of it, from which a stated one may differ by the share `within`; `least` and
    `most` are the bounds of what is built. On every machine it should be
    more than the figure `above`, where there is one.
    """

    id: FigureId
    title: str
    unit: str
    assumed: tuple[tuple[TraitCondition, Quantity], ...]
    follows: Limit | None
    within: float
    least: Quantity | None
    most: Quantity | None
    sources: Annotated[tuple[SourceId, ...], Key("source")]
    place: SourcePlace
    above: FigureId | None = None


@dataclass(frozen=True, slots=True)
class Trait:
    """Something that a machine has or is (`two-stroke`), and the group of which it is one choice.

    It is asked of machines that meet `only_if` alone.
    """

    id: TraitId
    title: str
    group: str
    place: SourcePlace
    only_if: TraitCondition = ALWAYS


@dataclass(frozen=True, slots=True)
class Machine:
    """A profile of one engine: its traits and its figures."""

    id: MachineId
    title: str
    about: str
    invented: bool
    traits: frozenset[TraitId]
    figures: Mapping[FigureId, Quantity]
    place: SourcePlace

    def fits(self, condition: Condition) -> bool:
        """Tell whether the machine's traits meet `condition`."""
        return holds(condition, lambda name: name in self.traits)


@dataclass(frozen=True, slots=True)
class Kit:
    """Tools and spares at hand; `bench` says that the machine stands in a workshop with them."""

    id: KitId
    title: str
    items: frozenset[ItemId]
    bench: bool
    place: SourcePlace


@dataclass(frozen=True, slots=True)
class Tree:
    """A named fault tree for drawing and teaching: a room of the library with its top events."""

    id: str
    title: str
    about: str
    tops: tuple[EventId, ...]
    place: SourcePlace


@dataclass(frozen=True, slots=True)
class Lesson:
    """A drill with a purpose.

    The hidden faults are drawn from `faults` by rate, one or two of them as the `level` has it. `kit` names
    the tools and spares allowed, None for all of them; `hints` are given one at a time.
    """

    id: LessonId
    title: str
    goal: str
    level: int
    complaint: ComplaintId
    machine: MachineId
    faults: tuple[CauseId, ...]
    kit: KitId | None
    given: tuple[HouseEventId, ...]
    hints: tuple[str, ...]
    place: SourcePlace


@dataclass(frozen=True, slots=True)
class Service:
    """A job done beforehand, so that faults do not come.

    `hours` is the running time between two of them, 0 for before every ride; with `once`, that after which it
    is done a single time on anything newly built or taken apart, 0 for before its first ride. `prevents` maps
    causes to the share of their cases that the job keeps away. `figures` are those of the machine that it
    works to.
    """

    id: ServiceId
    title: str
    how: tuple[str, ...]
    hours: float
    months: float
    once: bool
    prevents: Mapping[CauseId, float]
    figures: tuple[FigureId, ...]
    locking: str
    needs: Annotated[Needs, IN_PLACE]
    sources: Annotated[tuple[SourceId, ...], Key("source")]
    place: SourcePlace


@dataclass(frozen=True, slots=True)
class ExpertOrder:
    """The checks of a complaint in one fixed order, as a practised mechanic makes them."""

    complaint: Annotated[ComplaintId, OWN_ID]
    about: str
    checks: tuple[CheckId, ...]
    sources: Annotated[tuple[SourceId, ...], Key("source")]
    place: SourcePlace

    @property
    def id(self) -> EventId:
        """The order's id, which is that of its complaint."""
        return self.complaint
