"""Types for ids, so that a checker catches a cause handed over where a check is meant.

An id is lower-case words joined by hyphens, the same in YAML, in code and on the command line.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated, NewType

EventId = NewType("EventId", str)
"""Anything true or false of the engine: a complaint, a gate, a cause, or a house event."""
CheckId = NewType("CheckId", str)
FindingId = NewType("FindingId", str)
RepairId = NewType("RepairId", str)
SetupId = NewType("SetupId", str)
HazardId = NewType("HazardId", str)
SourceId = NewType("SourceId", str)
ItemId = NewType("ItemId", str)
"""A tool or a spare."""
FigureId = NewType("FigureId", str)
"""A named figure of a machine, such as `compression-ratio`."""
TraitId = NewType("TraitId", str)
MachineId = NewType("MachineId", str)
KitId = NewType("KitId", str)
LessonId = NewType("LessonId", str)
ServiceId = NewType("ServiceId", str)
PlaceId = NewType("PlaceId", str)
"""A numbered place on a drawing."""
SymbolId = NewType("SymbolId", str)


@dataclass(frozen=True, slots=True)
class Kind:
    """What an id, or each name in a condition, must name in the library."""

    name: str


ComplaintId = Annotated[EventId, Kind("complaint")]
CauseId = Annotated[EventId, Kind("cause")]
HouseEventId = Annotated[EventId, Kind("house event")]
DangerId = Annotated[SetupId, Kind("danger")]
SetupOrDangerId = Annotated[SetupId, Kind("setup or danger")]
ToolId = Annotated[ItemId, Kind("tool")]
SpareId = Annotated[ItemId, Kind("spare")]

KINDS = {
    EventId: Kind("event"),
    CheckId: Kind("check"),
    SetupId: Kind("setup"),
    HazardId: Kind("hazard"),
    SourceId: Kind("source"),
    ItemId: Kind("item"),
    FigureId: Kind("figure"),
    TraitId: Kind("trait"),
    MachineId: Kind("machine"),
    KitId: Kind("kit"),
    PlaceId: Kind("place"),
    SymbolId: Kind("symbol"),
}
"""What an id names where no other kind is stated beside it."""

ID_PATTERN = re.compile(r"[a-z][a-z0-9]*(?:-[a-z0-9]+)*")


def is_id(text: str) -> bool:
    """Tell whether `text` is written as an id: lower-case words joined by hyphens."""
    return ID_PATTERN.fullmatch(text) is not None
