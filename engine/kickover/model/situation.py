"""What is known of the situation: a set of true house events, kept free of contradictions."""

from __future__ import annotations

from collections.abc import Iterable
from collections.abc import Set as AbstractSet

from kickover.core.ids import EventId
from kickover.model.library import Library


def with_event(library: Library, houses: AbstractSet[EventId], event: EventId) -> frozenset[EventId]:
    """The situation after `event` became true: what it excludes is no longer true."""
    excluded = library.houses[event].excludes
    return frozenset(house for house in houses if house not in excluded) | {event}


def with_implied(
    library: Library, complaints: Iterable[EventId], given: AbstractSet[EventId]
) -> frozenset[EventId]:
    """The situation in which `complaints` are made: what they imply, overruled by what is `given`."""
    houses: frozenset[EventId] = frozenset()
    for complaint in complaints:
        for event in library.complaints[complaint].implies:
            houses = with_event(library, houses, event)
    for event in sorted(given):
        houses = with_event(library, houses, event)
    return houses
