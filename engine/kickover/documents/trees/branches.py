"""Which part of a fault tree goes on one picture: what a machine can have, and where to cut a large tree.

Pure reasoning over a library; it knows nothing of shapes or of DOT.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass

import networkx as nx

from kickover.core.ids import EventId
from kickover.core.problem import KickoverError
from kickover.model.library import Check, Input, Library, Machine, names_in

_SMALL = 4
"""A branch of another room with no more events than this is drawn in place."""


class TreeError(KickoverError):
    """A tree that cannot be drawn."""


@dataclass(frozen=True, slots=True)
class Branches:
    """What lies under each gate, inputs that cannot be left out, and the checks that observe each event."""

    inputs: Mapping[EventId, tuple[Input, ...]]
    needed: Mapping[EventId, int]
    checks: Mapping[EventId, tuple[Check, ...]]
    impossible: AbstractSet[EventId]

    def is_gate(self, event: EventId) -> bool:
        """Tell whether anything is drawn under `event`."""
        return event in self.inputs

    def mark(self, gate: EventId) -> str:
        """The gate mark of IEC 61025: `≥1`, `&`, or `k/n`, over the inputs that are left."""
        needed, count = self.needed[gate], len(self.inputs[gate])
        if needed == 1:
            return "≥1"
        return "&" if needed == count else f"{needed}/{count}"


@dataclass(frozen=True, slots=True)
class Size:
    """The size of a picture: rows of leaves below each other, and levels of events side by side."""

    rows: int
    levels: int


READABLE = Size(rows=24, levels=5)
"""What can still be read when it is printed on one sheet."""


@dataclass(frozen=True, slots=True)
class TreePage:
    """The events on one picture, top down, and those of them that are only pointed at (transfers)."""

    events: tuple[EventId, ...]
    transfers: frozenset[EventId]


def branches_of(library: Library, tops: Sequence[EventId], machine: Machine | None) -> Branches:
    """What lies under `tops` on `machine` (on any machine when None). Raises TreeError for a loop."""
    graph: nx.DiGraph[EventId] = nx.DiGraph()
    waiting = list(tops)
    while waiting:
        event = waiting.pop()
        if event in graph and graph.nodes[event]:
            continue
        graph.add_node(event, seen=True)
        gate = library.gate(event)
        for input_ in gate.inputs if gate else ():
            graph.add_edge(event, input_.event)
            waiting.append(input_.event)
    try:
        order = list(reversed(list(nx.topological_sort(graph))))
    except nx.NetworkXUnfeasible as error:
        raise TreeError("the tree leads back into itself; run: kickover check") from error
    inputs: dict[EventId, tuple[Input, ...]] = {}
    needed: dict[EventId, int] = {}
    impossible: set[EventId] = set()
    for event in order:
        gate = library.gate(event)
        if gate is None:
            if not _can_be(library, event, machine):
                impossible.add(event)
            continue
        left = tuple(one for one in gate.inputs if one.event not in impossible)
        if len(left) < gate.needed or (machine and not machine.fits(gate.only_if)):
            impossible.add(event)
        else:
            inputs[event], needed[event] = left, gate.needed
    return Branches(
        inputs, needed, _checks_by_event(library, machine, frozenset(order)), frozenset(impossible)
    )


def _can_be(library: Library, event: EventId, machine: Machine | None) -> bool:
    cause = library.causes.get(event)
    if cause is None:
        return event in library.houses
    return machine is None or machine.fits(cause.only_if)


def _checks_by_event(
    library: Library, machine: Machine | None, events: AbstractSet[EventId]
) -> dict[EventId, tuple[Check, ...]]:
    found: dict[EventId, dict[str, Check]] = {}
    for check in library.checks.values():
        if machine and not machine.fits(check.needs.only_if):
            continue
        for line in check.lines:
            for name in names_in(line.when):
                if name in events and name not in library.houses:
                    found.setdefault(EventId(name), {})[check.id] = check
    return {event: tuple(checks.values()) for event, checks in found.items()}


def reach(branches: Branches, tops: Iterable[EventId], cut: AbstractSet[EventId]) -> tuple[EventId, ...]:
    """The events under `tops`, breadth first, without going below those in `cut`."""
    found = dict.fromkeys(top for top in tops if top not in branches.impossible)
    waiting = list(found)
    for event in waiting:
        if event in cut:
            continue
        for one in branches.inputs.get(event, ()):
            if one.event not in found:
                found[one.event] = None
                waiting.append(one.event)
    return tuple(found)


def page_of(
    branches: Branches, tops: Sequence[EventId], elsewhere: AbstractSet[EventId], most: Size = READABLE
) -> TreePage:
    """Choose what to draw of `tops`, so that it fits `most`; what is cut off is pointed at.

    Large branches of `elsewhere` are cut, then those that lie too deep, and then, one by one, the branch
    whose lack leaves the picture best filled.
    """
    everything = reach(branches, tops, frozenset())
    spared = _first_of(branches, tops)
    large = {event for event in everything if event not in spared and _is_large(branches, event)}
    cut = large & elsewhere
    while deep := _too_deep(branches, tops, cut, most.levels) & large:
        cut |= deep
    while _rows(branches, tops, cut) > most.rows:
        best = _best_cut(branches, tops, cut, most.rows, spared)
        if best is None:
            break
        cut.add(best)
    shown = reach(branches, tops, cut)
    return TreePage(shown, frozenset(cut.intersection(shown)))


def _first_of(branches: Branches, tops: Sequence[EventId]) -> frozenset[EventId]:
    """What a picture is of, which it never only points at: its tops, and what is all that one of them has."""
    found = list(tops)
    for event in found:
        inputs = branches.inputs.get(event, ())
        if len(inputs) == 1:
            found.append(inputs[0].event)
    return frozenset(found)


def _is_large(branches: Branches, event: EventId) -> bool:
    return branches.is_gate(event) and len(reach(branches, [event], frozenset())) > _SMALL


def _best_cut(
    branches: Branches,
    tops: Sequence[EventId],
    cut: AbstractSet[EventId],
    rows: int,
    spared: AbstractSet[EventId],
) -> EventId | None:
    before = _rows(branches, tops, cut)
    worth: dict[EventId, tuple[int, float]] = {}
    for event in reach(branches, tops, cut):
        if event not in spared and event not in cut and branches.is_gate(event):
            left = _rows(branches, tops, cut | {event})
            if left < before - 1:
                worth[event] = _worth(left, rows)
    return max(worth, key=lambda event: worth[event], default=None)


def _worth(left: float, rows: int) -> tuple[int, float]:
    """How good it is to be left with so many rows: well filled, else still too many, else nearly empty."""
    if left > rows:
        return (1, -left)
    return (2, left) if left >= rows / 2 else (0, left)


def _rows(branches: Branches, tops: Sequence[EventId], cut: AbstractSet[EventId]) -> float:
    return sum(_height(branches, event, event in cut) for event in reach(branches, tops, cut))


def _height(branches: Branches, event: EventId, is_cut: bool) -> float:
    """Rows that an event takes up: its box, or the note of its checks, three of which fill a row."""
    if is_cut:
        return 1.0
    note = len(branches.checks.get(event, ())) / 3
    return note if branches.is_gate(event) else max(1.0, note)


def _too_deep(
    branches: Branches, tops: Sequence[EventId], cut: AbstractSet[EventId], levels: int
) -> set[EventId]:
    """The events that stand on the last of `levels`, by the longest way down to them."""
    level = dict.fromkeys(reach(branches, tops, cut), 1)
    waiting = list(level)
    for event in waiting:
        for one in branches.inputs.get(event, ()) if event not in cut else ():
            if level[one.event] <= level[event]:
                level[one.event] = level[event] + 1
                waiting.append(one.event)
    return {event for event, depth in level.items() if depth == levels and event not in cut}
