"""What is done: checks with their readings, repairs, setups and proofs, what they need, and their hazards."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from kickover.core.ids import (
    CauseId,
    CheckId,
    ComplaintId,
    DangerId,
    FigureId,
    FindingId,
    HazardId,
    Kind,
    PlaceId,
    RepairId,
    SetupId,
    SetupOrDangerId,
    SpareId,
    ToolId,
)
from kickover.core.problem import SourcePlace
from kickover.model.authored import (
    ID_FORM,
    IN_PLACE,
    NOT_WRITTEN,
    Amount,
    Chance,
    FromSection,
    Key,
    Minutes,
    Sources,
    Unit,
    bounds,
    instead,
)
from kickover.model.conditions import ALWAYS, EventCondition, HouseCondition, TraitCondition
from kickover.units import Quantity

CHANCES_FORM = bounds("each finding with its probability", minProperties=1, propertyNames={})
LINES_FORM = bounds("a list of `{when: ..., chances: {...}}`", minItems=1, maxItems=100)
BANDS_FORM = bounds("a list of at least two bands in rising order", minItems=2, maxItems=50)
READING_FORM = bounds("`{unit: ..., error: ..., least: ..., most: ..., bands: [...]}`")
WAITING_FORM = bounds(
    "how many of the minutes are waiting with idle hands: charging, soaking, warming, standing"
)
SPOTS = "bars, tank, carburettor, plug, cylinder, flywheel, exhaust, drive, wheel, frame, electrics"
SPOT_FORM = instead(f"one of {SPOTS}", enum=SPOTS.split(", "))
CURES_FORM = instead(
    "a list of the causes that it cures, or each with its chance (`{a: likely, b: 0.6}`)",
    type=["array", "object"],
    items=ID_FORM.keywords,
    minItems=1,
    uniqueItems=True,
    propertyNames=ID_FORM.keywords,
    minProperties=1,
    additionalProperties={
        "anyOf": [
            {"enum": ["sure", "likely", "perhaps"]},
            {"type": "number", "exclusiveMinimum": 0, "maximum": 1},
        ],
        "description": "`sure`, `likely`, `perhaps`, or a chance above 0 up to 1",
    },
)
ON_FOOT_FORM = bounds(
    "`true` if the machine is pushed home after it: no cause counts as covered by it in a pack"
)
SHOWS_FORM = bounds("the complaints that are walked instead where a look-over fails, such as `[brakes-drag]`")


@dataclass(frozen=True, slots=True)
class FigureRef:
    """A figure of the machine, such as its `coil-primary` resistance."""

    figure: Annotated[FigureId, IN_PLACE]


@dataclass(frozen=True, slots=True)
class FormulaRef:
    """A formula of the field with each of its parameters given as a figure of the machine or a quantity."""

    formula: Annotated[str, Kind("formula"), IN_PLACE]
    arguments: Annotated[Mapping[str, FigureRef | Quantity], Key("with")]


@dataclass(frozen=True, slots=True)
class Limit:
    """Where one band ends and the next begins: `base` times `times` plus `plus`."""

    base: Annotated[Quantity | FigureRef | FormulaRef, IN_PLACE]
    times: float = 1.0
    plus: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Band:
    """The readings that count as one finding: from `low` up to `high`, open ended where None."""

    finding: FindingId
    place: SourcePlace
    low: Annotated[Limit | None, Key("from")] = None
    high: Annotated[Limit | None, Key("below")] = None


@dataclass(frozen=True, slots=True)
class Reading:
    """How a measurement is read: its unit, its instrument's error, and its bands.

    The standard deviation of the error is the root of the squares of `error_share` times the value and
    `error_fixed`. Readings outside `least`..`most` cannot be, and are questioned.
    """

    unit: Annotated[Unit, bounds("a unit, such as `bar`")]
    error_share: Annotated[float, NOT_WRITTEN]
    error_fixed: Annotated[Quantity, NOT_WRITTEN]
    least: Quantity
    most: Quantity
    bands: Annotated[tuple[Band, ...], BANDS_FORM]


@dataclass(frozen=True, slots=True)
class Proof:
    """How a repair is shown to have worked: the complaint is gone, or it is not."""

    ask: str
    minutes: Minutes
    how: tuple[str, ...] = ()
    needs: tuple[SetupId, ...] = ()
    hazards: tuple[HazardId, ...] = ()


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
    words: tuple[str, ...] = ()
    leaves: tuple[DangerId, ...] = ()
    stop: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """The chances of the findings when `when` is the first condition of the check that holds."""

    chances: Annotated[Mapping[FindingId, Chance], CHANCES_FORM]
    place: SourcePlace
    when: EventCondition = ALWAYS


@dataclass(frozen=True, slots=True)
class Needs:
    """What a step needs and costs.

    `waiting` is how many of the `minutes` pass with idle hands: something charges, soaks, warms or stands.
    `setups` must be in place (plug out) and `undone` must not be. `leaves` are dangers that the step
    brings about; `clears` those it ends; `not_during` those that block it. `spot` is where on the
    machine the hands are, `shown_at` are places on the drawings that the machine fits.
    """

    minutes: Minutes
    waiting: Annotated[Minutes, WAITING_FORM] = 0.0
    price: Amount = 0.0
    tools: tuple[ToolId, ...] = ()
    spares: tuple[SpareId, ...] = ()
    setups: Annotated[tuple[SetupId, ...], Key("needs")] = ()
    undone: tuple[SetupId, ...] = ()
    leaves: tuple[DangerId, ...] = ()
    clears: tuple[SetupOrDangerId, ...] = ()
    not_during: tuple[DangerId, ...] = ()
    hazards: tuple[HazardId, ...] = ()
    only_if: TraitCondition = ALWAYS
    only_when: HouseCondition = ALWAYS
    spot: Annotated[str, SPOT_FORM] = ""
    shown_at: tuple[PlaceId, ...] = ()


@dataclass(frozen=True, slots=True)
class Check:
    """A question or a measurement that observes events."""

    id: CheckId
    title: str
    kind: CheckKind
    ask: str
    needs: Annotated[Needs, IN_PLACE]
    place: SourcePlace
    how: tuple[str, ...] = ()
    sketch: str = ""
    findings: tuple[Finding, ...] = ()
    lines: Annotated[tuple[Line, ...], Key("expect"), LINES_FORM] = ()
    reading: Annotated[Reading | None, READING_FORM] = None
    note: str = ""
    sources: Sources = ()

    def finding(self, finding: str) -> Finding | None:
        """The finding of that id, or None."""
        return next((known for known in self.findings if known.id == finding), None)


@dataclass(frozen=True, slots=True)
class Repair:
    """A repair: how it is done, how long it lasts, and the chance that it works on each cause that it cures.

    Whether it works is a property of the engine: made once more, it does the same again.
    A `test` takes the complaint away only while it lasts, and so finds the cause. `figures` are those of the
    machine that it is finished to, its torques and gaps. After one `on_foot` the machine is pushed home.
    """

    id: RepairId
    title: str
    roadside: bool
    cures: Annotated[Mapping[CauseId, float], CURES_FORM]
    how: Annotated[tuple[str, ...], bounds("the steps, as a list of texts", minItems=1)]
    needs: Annotated[Needs, IN_PLACE]
    place: SourcePlace
    test: bool = False
    torque: str = ""
    figures: tuple[FigureId, ...] = ()
    locking: str = ""
    lasts: str = ""
    prevention: str = ""
    on_foot: Annotated[bool, ON_FOOT_FORM] = False
    sources: Sources = ()


@dataclass(frozen=True, slots=True)
class Setup:
    """A state of the job, such as plug out, that some steps need and others must not have.

    `undo_minutes` puts it back, under the title `put_back` and to the `figures` of the machine.
    `stops_running` says that the engine cannot be tried while it holds, `spoils_spark` that no spark can be
    looked for. `danger` marks a state that is not wanted (fuel vapour about), ended by doing `how`. Where a
    look-over fails, one of the complaints in `shows` is walked instead.
    """

    id: SetupId
    title: str
    how: tuple[str, ...]
    danger: Annotated[bool, FromSection("dangers")]
    needs: Annotated[Needs, IN_PLACE]
    place: SourcePlace
    undo: tuple[str, ...] = ()
    figures: tuple[FigureId, ...] = ()
    put_back: Annotated[str, bounds("what undoing it is called, such as `Fit the plug again`")] = ""
    undo_minutes: Minutes = 0.0
    stops_running: bool = False
    spoils_spark: bool = False
    shows: Annotated[tuple[ComplaintId, ...], SHOWS_FORM] = ()

    @property
    def comes_back(self) -> bool:
        """True for what is off, open or parted, and is put back before a proof and before the road."""
        return not self.danger and (self.stops_running or bool(self.undo))


@dataclass(frozen=True, slots=True)
class Hazard:
    """A typed hazard and the caution that every step with it must show."""

    id: HazardId
    title: str
    caution: str
    place: SourcePlace
    sources: Sources = ()
