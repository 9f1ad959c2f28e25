"""What the reviews look at: a library, its graph, and what they must not judge; and how they report."""

from __future__ import annotations

from collections.abc import Collection, Sequence, Set
from dataclasses import dataclass
from functools import cached_property

from kickover.core.ids import MachineId
from kickover.core.near_names import nearest
from kickover.core.problem import Problem, SourcePlace
from kickover.model.graph import EventGraph, event_graph
from kickover.model.library import Library, Machine


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

    def section_of(self, event: str) -> str:
        """The section in which an event is written."""
        if event in self.library.complaints:
            return "complaints"
        if event in self.library.causes:
            return "causes"
        return "situation" if event in self.library.houses else "events"


def mend_name(name: str, known: Collection[str], otherwise: str) -> str:
    """Offer the nearest known name, or else the mend `otherwise`."""
    near = nearest(name, known)
    return f"did you mean `{near}`?" if near else otherwise


def listed_ids(ids: Sequence[str], most: int = 4) -> str:
    """Write ids for a message, the first few of them."""
    shown = ", ".join(f"`{id_}`" for id_ in ids[:most])
    return shown if len(ids) <= most else f"{shown} and {len(ids) - most} more"


def at(place: SourcePlace, message: str, hint: str, *trail: str) -> Problem:
    """Make a problem; `trail` are the keys that lead to it from the top of the file."""
    return Problem(place, "/".join(trail), message, hint)
