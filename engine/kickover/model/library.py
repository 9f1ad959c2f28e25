"""What a library of faults says, as frozen values, all to be imported from here.

Made by `load` from authored YAML and read by everything above. Nothing here computes a probability,
reads a file or knows how a thing is shown.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Annotated

from kickover.core.ids import (
    CheckId,
    EventId,
    FigureId,
    HazardId,
    ItemId,
    KitId,
    LessonId,
    MachineId,
    RepairId,
    ServiceId,
    SetupId,
    SourceId,
    SymbolId,
    TraitId,
)
from kickover.model.authored import Chance, Factor, Minutes, bounds
from kickover.model.conditions import (
    ALWAYS,
    All,
    Any,
    Condition,
    Is,
    Not,
    holds,
    names_in,
)
from kickover.model.drawings import Drawing, DrawnPlace, DrawnSymbol, Inscription, PlacedSymbol, Strokes
from kickover.model.entities import (
    ExpertOrder,
    Figure,
    Item,
    Kit,
    Lesson,
    Machine,
    RateChanges,
    Service,
    Source,
    SourceKind,
    Trait,
    Tree,
)
from kickover.model.events import (
    Cause,
    Complaint,
    Gate,
    HouseEvent,
    Input,
    SecondaryFaults,
)
from kickover.model.steps import (
    Band,
    Check,
    CheckKind,
    FigureRef,
    Finding,
    FormulaRef,
    Hazard,
    Limit,
    Line,
    Needs,
    Proof,
    Reading,
    Repair,
    Setup,
)

__all__ = [
    "ALWAYS",
    "All",
    "Any",
    "Band",
    "Cause",
    "Check",
    "CheckKind",
    "Complaint",
    "Condition",
    "Drawing",
    "DrawnPlace",
    "DrawnSymbol",
    "ExpertOrder",
    "Figure",
    "FigureRef",
    "Finding",
    "FormulaRef",
    "Gate",
    "Hazard",
    "HouseEvent",
    "Input",
    "Inscription",
    "Is",
    "Item",
    "Kit",
    "Lesson",
    "Library",
    "Limit",
    "Line",
    "Machine",
    "Needs",
    "Not",
    "PlacedSymbol",
    "Proof",
    "RateChanges",
    "Reading",
    "Repair",
    "SecondaryFaults",
    "Service",
    "Settings",
    "Setup",
    "Source",
    "SourceKind",
    "Strokes",
    "Trait",
    "Tree",
    "Works",
    "holds",
    "names_in",
]


class Works(StrEnum):
    """How surely a repair works on a cause, in a word."""

    SURE = "sure"
    LIKELY = "likely"
    PERHAPS = "perhaps"


WorksChance = Annotated[float, bounds("a chance above 0 up to 1", exclusiveMinimum=0, maximum=1)]
RATES_FORM = bounds("rate words with their numbers")
WORKS_FORM = bounds("the chances that `sure`, `likely` and `perhaps` stand for in `cures:`")
SLIPS_FORM = bounds("for each kind of check the chance of a misreading")


@dataclass(frozen=True, slots=True)
class Settings:
    """The numbers that the model rests on besides the tree itself.

    `order` is the largest number of coincident causes; `two_cause_share` the share of complaints with
    more than one, without those that another brings; `unlisted_share` that of causes of which not even the
    gate is known, of which the share `unlisted_open` may show as anything at all and the rest shows nothing
    of what is listed.
    `give_up_minutes` prices pushing it home or calling a mechanic, `bench_give_up_minutes` leaving it on the
    bench to somebody else, where only time and money are lost; `spot_minutes` a move from one end
    of the machine to the other, `comfort_minutes` is how much longer on average an easier step may take than
    the best. `rates` maps rate words to weights, `works` the words for how surely a repair
    works (sure, likely, perhaps) to chances; a word without one is certain. `undeveloped_share` is the usual
    share of a gate's rate for what is not listed under it, and `undeveloped_minutes` what finding it takes a
    mechanic. `slips` gives for each kind of check the chance that the answer is a misreading.
    """

    order: Annotated[int, bounds("the most causes at a time, 1 to 4", minimum=1, maximum=4)] = 2
    two_cause_share: Chance = 0.06
    unlisted_share: Chance = 0.03
    unlisted_open: Chance = 0.3
    give_up_minutes: Minutes = 180.0
    bench_give_up_minutes: Minutes = 900.0
    spot_minutes: Minutes = 0.5
    comfort_minutes: Minutes = 0.4
    rates: Annotated[Mapping[str, Factor], RATES_FORM] = field(default_factory=dict)
    works: Annotated[Mapping[Works, WorksChance], WORKS_FORM] = field(default_factory=dict)
    undeveloped_share: Chance = 0.0
    undeveloped_minutes: Minutes = 120.0
    slips: Annotated[Mapping[CheckKind, Chance], SLIPS_FORM] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Library:
    """A whole library: everything by id, in the order in which it was written."""

    title: str
    version: str
    settings: Settings
    complaints: Mapping[EventId, Complaint]
    gates: Mapping[EventId, Gate]
    causes: Mapping[EventId, Cause]
    houses: Mapping[EventId, HouseEvent]
    checks: Mapping[CheckId, Check]
    repairs: Mapping[RepairId, Repair]
    setups: Mapping[SetupId, Setup]
    hazards: Mapping[HazardId, Hazard]
    sources: Mapping[SourceId, Source]
    items: Mapping[ItemId, Item]
    figures: Mapping[FigureId, Figure]
    traits: Mapping[TraitId, Trait]
    machines: Mapping[MachineId, Machine]
    kits: Mapping[KitId, Kit]
    trees: Mapping[str, Tree]
    lessons: Mapping[LessonId, Lesson] = field(default_factory=dict)
    services: Mapping[ServiceId, Service] = field(default_factory=dict)
    expert_orders: Mapping[EventId, ExpertOrder] = field(default_factory=dict)
    brings: Mapping[EventId, SecondaryFaults] = field(default_factory=dict)
    drawings: Mapping[str, Drawing] = field(default_factory=dict)
    symbols: Mapping[SymbolId, DrawnSymbol] = field(default_factory=dict)
    laid_over: Mapping[str, RateChanges] = field(default_factory=dict)

    @property
    def edition(self) -> str:
        """Title and version, with what overlays changed, to be printed beside what is drawn from it."""
        return f"{self.title}, version {self.version}{self.changes}"

    @property
    def changes(self) -> str:
        """What overlays changed, to follow a title or a version; empty without any."""
        return "".join(f"; {changes}" for changes in self.laid_over.values())

    def gate(self, event: EventId) -> Gate | None:
        """The gate of `event`, a complaint's top included, or None for a cause or a house event."""
        if event in self.complaints:
            return self.complaints[event].gate
        return self.gates.get(event)

    def served_by(self, items: Iterable[ItemId]) -> frozenset[ItemId]:
        """The items, and those in whose place one of them does as well."""
        held = frozenset(items)
        return held.union(*(self.items[item].serves_as for item in held if item in self.items))

    def title_of(self, event: EventId) -> str:
        """The title of any event."""
        gate = self.gate(event)
        if gate is not None:
            return gate.title
        if event in self.causes:
            return self.causes[event].title
        return self.houses[event].title
