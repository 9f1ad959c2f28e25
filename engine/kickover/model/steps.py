"""What is done: checks, repairs, setups and proofs, what they need, and the hazards that they have."""

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
    PlaceId,
    RepairId,
    SetupId,
    SetupOrDangerId,
    SourceId,
    SpareId,
    ToolId,
)
from kickover.core.problem import SourcePlace
from kickover.model.authored import IN_PLACE, FromSection, Key
from kickover.model.conditions import ALWAYS, EventCondition, HouseCondition, TraitCondition
from kickover.model.readings import Reading


@dataclass(frozen=True, slots=True)
class Proof:
    """How a repair is shown to have worked: the complaint is gone, or it is not."""

    ask: str
    how: tuple[str, ...]
    minutes: float
    needs: tuple[SetupId, ...]
    hazards: tuple[HazardId, ...]


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
    leaves: tuple[DangerId, ...]
    stop: str


@dataclass(frozen=True, slots=True)
class Line:
    """The chances of the findings when `when` is the first condition of the check that holds."""

    when: EventCondition
    chances: Mapping[FindingId, float]
    place: SourcePlace


@dataclass(frozen=True, slots=True)
class Needs:
    """What a step needs and costs.

    `waiting` is how many of the `minutes` pass with idle hands: something charges, soaks, warms or stands.
    `setups` must be in place (plug out) and `undone` must not be. `leaves` are dangers that the step
    brings about; `clears` those it ends; `not_during` those that block it. `spot` is where on the
    machine the hands are, `shown_at` are places on the drawings that the machine fits.
    """

    minutes: float
    price: float = 0.0
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
    spot: str = ""
    shown_at: tuple[PlaceId, ...] = ()
    waiting: float = 0.0


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
    lines: Annotated[tuple[Line, ...], Key("expect")]
    reading: Reading | None
    needs: Annotated[Needs, IN_PLACE]
    note: str
    sources: Annotated[tuple[SourceId, ...], Key("source")]
    place: SourcePlace

    def finding(self, finding: str) -> Finding | None:
        """The finding of that id, or None."""
        return next((one for one in self.findings if one.id == finding), None)


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
    test: bool
    cures: Mapping[CauseId, float]
    how: tuple[str, ...]
    torque: str
    figures: tuple[FigureId, ...]
    locking: str
    lasts: str
    prevention: str
    needs: Annotated[Needs, IN_PLACE]
    sources: Annotated[tuple[SourceId, ...], Key("source")]
    place: SourcePlace
    on_foot: bool = False


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
    undo: tuple[str, ...]
    figures: tuple[FigureId, ...]
    put_back: str
    undo_minutes: float
    stops_running: bool
    danger: Annotated[bool, FromSection("dangers")]
    needs: Annotated[Needs, IN_PLACE]
    place: SourcePlace
    spoils_spark: bool = False
    shows: tuple[ComplaintId, ...] = ()

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
    sources: Annotated[tuple[SourceId, ...], Key("source")]
    place: SourcePlace
