"""Which causes have a finding to themselves: a line of some check that holds for them and their like alone.

Their like are the causes that one of their own repairs cures as well: to tell those apart is of no use.
"""

from __future__ import annotations

from collections import defaultdict

from kickover.core.ids import EventId
from kickover.model.library import Check, Line, Machine, holds
from worlds.shipped_library import shipped

LIBRARY = shipped()


def events_of(cause: EventId, machine: Machine) -> frozenset[EventId]:
    """What is true of the engine with this cause alone, every weak link open and every situation given."""
    known = {cause, *LIBRARY.houses}
    gates = [*LIBRARY.gates.values(), *(one.gate for one in LIBRARY.complaints.values())]
    grown = True
    while grown:
        grown = False
        for gate in gates:
            if gate.id in known or not machine.fits(gate.only_if):
                continue
            inputs = [one.event for one in gate.inputs]
            true = sum(event in known for event in inputs)
            if true >= gate.needed and not all(event in LIBRARY.houses for event in inputs if event in known):
                known.add(gate.id)
                grown = True
    return frozenset(known)


def line_of(check: Check, events: frozenset[EventId]) -> Line:
    return next(line for line in check.lines if holds(line.when, events.__contains__))


def alike(one: EventId, other: EventId) -> bool:
    return any(one in repair.cures and other in repair.cures for repair in LIBRARY.repairs.values())


def without_own_line(machine: Machine) -> set[EventId]:
    """The causes of a machine whose every line is shared with a cause that another repair cures."""
    able = [cause for cause in LIBRARY.causes.values() if machine.fits(cause.only_if)]
    events = {cause.id: events_of(cause.id, machine) for cause in able}
    without = set(events)
    for check in LIBRARY.checks.values():
        if not machine.fits(check.needs.only_if):
            continue
        on_line: dict[int, list[EventId]] = defaultdict(list)
        for cause, true in events.items():
            on_line[check.lines.index(line_of(check, true))].append(cause)
        for place, causes in on_line.items():
            if place == len(check.lines) - 1:
                continue
            without -= {cause for cause in causes if all(alike(cause, other) for other in causes)}
    return without
