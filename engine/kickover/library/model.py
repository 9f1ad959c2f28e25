"""What a library of faults says, as frozen values.

Made by `load` from authored YAML and read by everything above. Nothing here computes a probability,
reads a file or knows how a thing is shown.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from kickover.ids import (
    CheckId,
    EventId,
    FigureId,
    FindingId,
    HazardId,
    ItemId,
    KitId,
    LessonId,
    MachineId,
    RepairId,
    ServiceId,
    SetupId,
    SourceId,
    TraitId,
)
from kickover.problem import Place
from kickover.quantity import Quantity

# --- conditions: over events (checks), over traits (only if), over house events (only when) ---


@dataclass(frozen=True, slots=True)
class Is:
    """True when the named event, trait or house event is true."""

    name: str


@dataclass(frozen=True, slots=True)
class Not:
    """True when `part` is false."""

    part: Condition


@dataclass(frozen=True, slots=True)
class All:
    """True when every part is true."""

    parts: tuple[Condition, ...]


@dataclass(frozen=True, slots=True)
class Any:
    """True when at least one part is true."""

    parts: tuple[Condition, ...]


Condition = Is | Not | All | Any

ALWAYS = All(())


def holds(condition: Condition, is_true: Callable[[str], bool]) -> bool:
    """Tell whether `condition` holds, given the truth of each name in it."""
    match condition:
        case Is(name):
            return is_true(name)
        case Not(part):
            return not holds(part, is_true)
        case All(parts):
            return all(holds(part, is_true) for part in parts)
        case Any(parts):
            return any(holds(part, is_true) for part in parts)


def names_in(condition: Condition) -> Iterable[str]:
    """Every name that `condition` mentions, with repeats, left to right."""
    match condition:
        case Is(name):
            yield name
        case Not(part):
            yield from names_in(part)
        case All(parts) | Any(parts):
            for part in parts:
                yield from names_in(part)


# --- the tree: complaints, gates, causes, house events ---


@dataclass(frozen=True, slots=True)
class Input:
    """One line into a gate.

    `chance` below 1 makes it a weak link: the event passes the gate only when an independent
    condition of that probability is met (the inhibit gate of IEC 61025).
    """

    event: EventId
    chance: float = 1.0


@dataclass(frozen=True, slots=True)
class Gate:
    """An event that is true when at least `needed` of its inputs are true (or: 1, and: all of them)."""

    id: EventId
    title: str
    needed: int
    inputs: tuple[Input, ...]
    only_if: Condition
    about: str
    place: Place

    @property
    def mark(self) -> str:
        """The gate mark of IEC 61025: `≥1`, `&`, or `k/n`."""
        if self.needed == 1:
            return "≥1"
        return "&" if self.needed == len(self.inputs) else f"{self.needed}/{len(self.inputs)}"


@dataclass(frozen=True, slots=True)
class Cause:
    """A basic event: a fault with a rate, that a repair cures.

    `rate` is a relative weight before any evidence; `factors` multiply its odds when a house event
    holds. `ride` is false for a fault with which the machine must not be ridden.
    """

    id: EventId
    title: str
    rate: float
    rate_word: str
    factors: Mapping[EventId, float]
    only_if: Condition
    about: str
    prevention: str
    ride: bool
    sources: tuple[SourceId, ...]
    place: Place


@dataclass(frozen=True, slots=True)
class House:
    """A house event (NUREG-0492): something known of the situation, true or false, never a fault.

    `excludes` are house events that this one makes false. `wait` is the number of minutes in which
    it can be brought about (letting a hot engine cool), or None when it cannot.
    """

    id: EventId
    title: str
    ask: str
    excludes: tuple[EventId, ...]
    wait: float | None
    how: str
    place: Place


@dataclass(frozen=True, slots=True)
class Proof:
    """How a repair is shown to have worked: the complaint is gone, or it is not."""

    ask: str
    how: tuple[str, ...]
    minutes: float
    needs: tuple[SetupId, ...]
    hazards: tuple[HazardId, ...]


@dataclass(frozen=True, slots=True)
class Complaint:
    """What the rider reports: the top event `gate`, its synonyms, and the proof that it is gone.

    `strands` says that the machine cannot be ridden home with it.
    """

    gate: Gate
    words: tuple[str, ...]
    implies: tuple[EventId, ...]
    proof: Proof
    strands: bool = False

    @property
    def id(self) -> EventId:
        """The id of the complaint's top event."""
        return self.gate.id

    @property
    def title(self) -> str:
        """The complaint in a rider's words."""
        return self.gate.title


# --- limits and readings ---


@dataclass(frozen=True, slots=True)
class FigureRef:
    """A figure of the machine, such as its `coil-primary` resistance."""

    figure: FigureId


@dataclass(frozen=True, slots=True)
class FormulaRef:
    """A formula of the field with each of its parameters given as a figure of the machine or a quantity."""

    formula: str
    arguments: Mapping[str, FigureRef | Quantity]


@dataclass(frozen=True, slots=True)
class Limit:
    """Where one band ends and the next begins: `base` times `times` plus `plus`."""

    base: Quantity | FigureRef | FormulaRef
    times: float = 1.0
    plus: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Band:
    """The readings that count as one finding: from `low` up to `high`, open ended where None."""

    finding: FindingId
    low: Limit | None
    high: Limit | None
    place: Place


@dataclass(frozen=True, slots=True)
class Reading:
    """How a measurement is read: its unit, its instrument's error, and its bands.

    The standard deviation of the error is the root of the squares of `error_share` times the value and
    `error_fixed`. Readings outside `least`..`most` cannot be, and are questioned.
    """

    unit: str
    error_share: float
    error_fixed: Quantity
    least: Quantity
    most: Quantity
    bands: tuple[Band, ...]


# --- checks, repairs, and what they need ---


class CheckKind(StrEnum):
    """What a check asks of a person."""

    QUESTION = "question"
    LOOK = "look"
    TRY = "try"
    MEASURE = "measure"


@dataclass(frozen=True, slots=True)
class Finding:
    """One outcome of a check. `leaves` are the dangers that it shows to be present (fuel vapour about)."""

    id: FindingId
    title: str
    words: tuple[str, ...]
    leaves: tuple[SetupId, ...]
    stop: str


@dataclass(frozen=True, slots=True)
class Line:
    """The chances of the findings when `when` is the first condition of the check that holds."""

    when: Condition
    chances: Mapping[FindingId, float]
    place: Place


@dataclass(frozen=True, slots=True)
class Needs:
    """What a step needs and costs.

    `setups` must be in place (plug out) and `undone` must not be. `leaves` are dangers that the step
    brings about; `clears` those it ends; `not_during` those that block it. `spot` is where on the
    machine the hands are.
    """

    minutes: float
    price: float = 0.0
    tools: tuple[ItemId, ...] = ()
    spares: tuple[ItemId, ...] = ()
    setups: tuple[SetupId, ...] = ()
    undone: tuple[SetupId, ...] = ()
    leaves: tuple[SetupId, ...] = ()
    clears: tuple[SetupId, ...] = ()
    not_during: tuple[SetupId, ...] = ()
    hazards: tuple[HazardId, ...] = ()
    only_if: Condition = ALWAYS
    only_when: Condition = ALWAYS
    spot: str = ""


@dataclass(frozen=True, slots=True)
class Check:
    """A question or a measurement that observes events."""

    id: CheckId
    title: str
    kind: CheckKind
    ask: str
    how: tuple[str, ...]
    sketch: str
    findings: tuple[Finding, ...]
    lines: tuple[Line, ...]
    reading: Reading | None
    needs: Needs
    note: str
    sources: tuple[SourceId, ...]
    place: Place

    def finding(self, finding: str) -> Finding | None:
        """The finding of that id, or None."""
        return next((one for one in self.findings if one.id == finding), None)


@dataclass(frozen=True, slots=True)
class Repair:
    """A repair: the causes that it cures, how it is done, how long it lasts."""

    id: RepairId
    title: str
    roadside: bool
    cures: tuple[EventId, ...]
    how: tuple[str, ...]
    torque: str
    locking: str
    lasts: str
    prevention: str
    needs: Needs
    sources: tuple[SourceId, ...]
    place: Place


@dataclass(frozen=True, slots=True)
class Setup:
    """A state of the job, such as plug out, that some steps need and others must not have.

    `undo_minutes` puts it back. `stops_running` says that the engine cannot be tried while it holds.
    `danger` marks a state that is not wanted (fuel vapour about) and that is ended by doing `how`.
    """

    id: SetupId
    title: str
    how: tuple[str, ...]
    undo: tuple[str, ...]
    undo_minutes: float
    stops_running: bool
    danger: bool
    needs: Needs
    place: Place


@dataclass(frozen=True, slots=True)
class Hazard:
    """A typed hazard and the caution that every step with it must show."""

    id: HazardId
    title: str
    caution: str
    sources: tuple[SourceId, ...]
    place: Place


class SourceKind(StrEnum):
    """What a figure or a likelihood rests on."""

    PUBLISHED = "published"
    PRACTICE = "practice"
    ESTIMATE = "estimate"


@dataclass(frozen=True, slots=True)
class Source:
    """Where a figure, a rate or a rule comes from."""

    id: SourceId
    title: str
    kind: SourceKind
    detail: str
    place: Place


@dataclass(frozen=True, slots=True)
class Item:
    """A tool or a spare: what it weighs, takes up and costs."""

    id: ItemId
    title: str
    spare: bool
    grams: float
    litres: float
    price: float
    place: Place


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure that a machine may state, and what is assumed when it does not.

    `assumed` lists (traits, value) pairs, the first whose traits fit is taken.
    """

    id: FigureId
    title: str
    unit: str
    assumed: tuple[tuple[Condition, Quantity], ...]
    sources: tuple[SourceId, ...]
    place: Place


@dataclass(frozen=True, slots=True)
class Trait:
    """Something that a machine has or is (`two-stroke`), and the group of which it is one choice."""

    id: TraitId
    title: str
    group: str
    place: Place


@dataclass(frozen=True, slots=True)
class Machine:
    """A profile of one engine: its traits and its figures."""

    id: MachineId
    title: str
    about: str
    invented: bool
    traits: frozenset[TraitId]
    figures: Mapping[FigureId, Quantity]
    place: Place

    def fits(self, condition: Condition) -> bool:
        """Tell whether the machine's traits meet `condition`."""
        return holds(condition, lambda name: name in self.traits)


@dataclass(frozen=True, slots=True)
class Kit:
    """Tools and spares at hand."""

    id: KitId
    title: str
    items: frozenset[ItemId]
    place: Place


@dataclass(frozen=True, slots=True)
class Tree:
    """A named fault tree for drawing and teaching: a room of the library with its top events."""

    id: str
    title: str
    about: str
    tops: tuple[EventId, ...]
    place: Place


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
    complaint: EventId
    machine: MachineId
    faults: tuple[EventId, ...]
    kit: KitId | None
    given: tuple[EventId, ...]
    hints: tuple[str, ...]
    place: Place


@dataclass(frozen=True, slots=True)
class Service:
    """A job done beforehand, so that faults do not come.

    `hours` is the running time between two of them, 0 for before every ride. `prevents` maps causes to the
    share of their cases that the job keeps away. `figures` are those of the machine that it works to.
    """

    id: ServiceId
    title: str
    how: tuple[str, ...]
    hours: float
    months: float
    prevents: Mapping[EventId, float]
    figures: tuple[FigureId, ...]
    locking: str
    needs: Needs
    sources: tuple[SourceId, ...]
    place: Place


@dataclass(frozen=True, slots=True)
class Settings:
    """The numbers that the model rests on besides the tree itself.

    `order` is the largest number of coincident causes; `two_cause_share` the share of complaints with
    more than one; `unlisted_share` that of causes not in the library, of which the share
    `unlisted_open` may show as anything at all and the rest shows nothing of what is listed.
    `give_up_minutes` prices pushing it home or calling a mechanic; `spot_minutes` a move from one end
    of the machine to the other. `rates` maps rate words to weights.
    """

    order: int = 2
    two_cause_share: float = 0.06
    unlisted_share: float = 0.03
    unlisted_open: float = 0.3
    give_up_minutes: float = 180.0
    spot_minutes: float = 0.5
    rates: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Library:
    """A whole library: everything by id, in the order in which it was written."""

    title: str
    version: str
    settings: Settings
    complaints: Mapping[EventId, Complaint]
    gates: Mapping[EventId, Gate]
    causes: Mapping[EventId, Cause]
    houses: Mapping[EventId, House]
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

    def gate(self, event: EventId) -> Gate | None:
        """The gate of `event`, a complaint's top included, or None for a cause or a house event."""
        if event in self.complaints:
            return self.complaints[event].gate
        return self.gates.get(event)

    def title_of(self, event: EventId) -> str:
        """The title of any event."""
        gate = self.gate(event)
        if gate is not None:
            return gate.title
        if event in self.causes:
            return self.causes[event].title
        return self.houses[event].title
