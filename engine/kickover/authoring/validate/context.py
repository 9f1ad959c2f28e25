"""What the reviews look at: a library, its graph, and what they must not judge; and how they report."""

from __future__ import annotations

from collections.abc import Collection, Sequence, Set
from dataclasses import dataclass
from functools import cached_property

from kickover.authoring.sections import Authored, trail_to
from kickover.core.ids import EventId, MachineId
from kickover.core.near_names import nearest
from kickover.core.problem import Problem, SourcePlace
from kickover.model.graph import EventGraph, event_graph
from kickover.model.library import Cause, Complaint, Gate, Library, Machine


@dataclass(frozen=True)
class ValidationContext:
    """A library under review.

    `spoken_of` are the ids named in parts that could not be read: whether they exist, are reached or are
    repaired cannot be known, and is not judged.
    """

    library: Library
    spoken_of: Set[str]

    @cached_property
    def structure(self) -> EventGraph:
        """The graph of the events."""
        return event_graph(self.library)

    @cached_property
    def machines(self) -> Sequence[Machine]:
        """The machines of the library, or one that states nothing when it has none."""
        bare = Machine(MachineId("any-machine"), "Any machine", frozenset(), SourcePlace("", 1))
        return tuple(self.library.machines.values()) or (bare,)

    def event(self, event: EventId) -> Complaint | Gate | Cause:
        """The complaint, gate or cause of an id."""
        library = self.library
        return library.complaints.get(event) or library.gates.get(event) or library.causes[event]


def mend_name(name: str, known: Collection[str], otherwise: str) -> str:
    """Offer the nearest known name, or else the mend `otherwise`."""
    near = nearest(name, known)
    return f"did you mean `{near}`?" if near else otherwise


def listed_ids(ids: Sequence[str], most: int = 4) -> str:
    """Write ids for a message, the first few of them."""
    shown = ", ".join(f"`{id_}`" for id_ in ids[:most])
    return shown if len(ids) <= most else f"{shown} and {len(ids) - most} more"


def wrong(
    entity: Authored, message: str, hint: str, *inside: str, place: SourcePlace | None = None
) -> Problem:
    """Make a problem of an entity: `inside` are the keys in it, `place` is where if not where it begins."""
    return Problem(place or entity.place, "/".join((*trail_to(entity), *inside)), message, hint)
