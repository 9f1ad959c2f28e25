"""What checks and repairs stand on: sources, items, figures, traits, machines, kits, lessons, service."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
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
from kickover.model.authored import (
    IN_PLACE,
    OWN_ID,
    Amount,
    Chance,
    FromSection,
    Name,
    Sources,
    Unit,
    bounds,
)
from kickover.model.conditions import ALWAYS, Condition, TraitCondition, holds
from kickover.model.steps import Limit, Needs
from kickover.units import Quantity

SERVES_FORM = bounds("the items in whose place it does as well, such as `[spare-plug]` of a new plug")
FOLLOWS_FORM = bounds("what other figures make of it, such as `{formula: NAME, with: {...}}`")
WITHIN_FORM = bounds(
    "the share by which a stated figure may differ from the one that follows, such as `0.05`"
)
FIGURES_FORM = bounds("figures with their values, such as `{bore: 40 mm}`")
ITEMS_FORM = bounds("a list of tools and spares, or `all`", type=["array", "string"], pattern="^all$")
FAULTS_FORM = bounds("the causes from which the hidden fault is drawn, as a list", minItems=1)
ORDER_FORM = bounds("the checks, in the order in which they are made, as a list", minItems=1)
HOURS_FORM = bounds(
    "the running hours between two of them, such as `50`; without it the job is done before every ride",
    minimum=0.1,
    maximum=10_000,
)
MONTHS_FORM = bounds("the months after which it is due in any case, such as `12`", minimum=0.5, maximum=240)
ONCE_FORM = bounds("`true` for a job that is done a single time after building, at its `hours`")
PREVENTS_FORM = bounds(
    "causes with the share of their cases that it keeps away, such as `{plug-gap-wide: 0.8}`"
)


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
    place: SourcePlace
    detail: str = ""


@dataclass(frozen=True, slots=True)
class Item:
    """A tool or a spare: weight, room, price, place in the pouch, and the items that it serves as well."""

    id: ItemId
    title: str
    spare: Annotated[bool, FromSection("spares")]
    grams: Amount
    litres: Amount
    price: Amount
    place: SourcePlace
    serves_as: Annotated[tuple[ItemId, ...], SERVES_FORM] = ()
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
    unit: Unit
    place: SourcePlace
    assumed: tuple[tuple[TraitCondition, Quantity], ...] = ()
    follows: Annotated[Limit | None, FOLLOWS_FORM] = None
    within: Annotated[Chance, WITHIN_FORM] = 0.0
    least: Quantity | None = None
    most: Quantity | None = None
    sources: Sources = ()
    above: FigureId | None = None


@dataclass(frozen=True, slots=True)
class Trait:
    """Something that a machine has or is (`two-stroke`), and the group of which it is one choice.

    It is asked of machines that meet `only_if` alone.
    """

    id: TraitId
    title: str
    group: Name
    place: SourcePlace
    only_if: TraitCondition = ALWAYS


@dataclass(frozen=True, slots=True)
class Machine:
    """A profile of one engine: its traits and its figures."""

    id: MachineId
    title: str
    traits: frozenset[TraitId]
    place: SourcePlace
    about: str = ""
    invented: bool = False
    figures: Annotated[Mapping[FigureId, Quantity], FIGURES_FORM] = field(default_factory=dict)

    def fits(self, condition: Condition) -> bool:
        """Tell whether the machine's traits meet `condition`."""
        return holds(condition, lambda name: name in self.traits)


@dataclass(frozen=True, slots=True)
class Kit:
    """Tools and spares at hand; `bench` says that the machine stands in a workshop with them."""

    id: KitId
    title: str
    items: Annotated[frozenset[ItemId], ITEMS_FORM]
    place: SourcePlace
    bench: bool = False


@dataclass(frozen=True, slots=True)
class Tree:
    """A named fault tree for drawing and teaching: a room of the library with its top events."""

    id: str
    title: str
    tops: Annotated[tuple[EventId, ...], bounds("a list of events", minItems=1)]
    place: SourcePlace
    about: str = ""


@dataclass(frozen=True, slots=True)
class Lesson:
    """A drill with a purpose.

    The hidden faults are drawn from `faults` by rate, one or two of them as the `level` has it. `kit` names
    the tools and spares allowed, None for all of them; `hints` are given one at a time.
    """

    id: LessonId
    title: str
    goal: str
    level: Annotated[int, bounds("a level from 1 to 5", minimum=1, maximum=5)]
    complaint: ComplaintId
    machine: MachineId
    faults: Annotated[tuple[CauseId, ...], FAULTS_FORM]
    place: SourcePlace
    kit: KitId | None = None
    given: tuple[HouseEventId, ...] = ()
    hints: tuple[str, ...] = ()


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
    needs: Annotated[Needs, IN_PLACE]
    place: SourcePlace
    how: tuple[str, ...] = ()
    hours: Annotated[float, HOURS_FORM] = 0.0
    months: Annotated[float, MONTHS_FORM] = 0.0
    once: Annotated[bool, ONCE_FORM] = False
    prevents: Annotated[Mapping[CauseId, Chance], PREVENTS_FORM] = field(default_factory=dict)
    figures: tuple[FigureId, ...] = ()
    locking: str = ""
    sources: Sources = ()


@dataclass(frozen=True, slots=True)
class ExpertOrder:
    """The checks of a complaint in one fixed order, as a practised mechanic makes them."""

    complaint: Annotated[ComplaintId, OWN_ID]
    about: str
    checks: Annotated[tuple[CheckId, ...], ORDER_FORM]
    place: SourcePlace
    sources: Sources = ()

    @property
    def id(self) -> EventId:
        """The order's id, which is that of its complaint."""
        return self.complaint
