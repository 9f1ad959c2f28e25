"""What the shipped library holds, loaded once: its machines, and which causes each complaint can have."""

from __future__ import annotations

from functools import cache

from kickover.core.ids import EventId, MachineId
from kickover.inference.hypotheses import hypothesise
from worlds.shipped_library import shipped


@cache
def causes_on(machine: MachineId, complaint: EventId) -> frozenset[EventId]:
    """The causes that alone can bring about `complaint` on `machine`."""
    library = shipped()
    single = hypothesise(library, library.machines[machine], [complaint], order=1)
    return frozenset(cause for row in range(single.count) for cause in single.causes_of(row))


@cache
def causes_under(complaint: EventId) -> frozenset[EventId]:
    """The causes that alone can bring about `complaint` on at least one machine."""
    return frozenset().union(*(causes_on(machine, complaint) for machine in shipped().machines))
