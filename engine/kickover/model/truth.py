"""The truth of every event under many hypotheses at once.

The tree is flattened once into a list of gates in evaluation order; a whole population of hypotheses is
then evaluated bottom-up, one bit a hypothesis, so that a gate costs a few bitwise operations.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kickover.core.ids import EventId
from kickover.model.library import All, Any, Condition, Input, Is, Library, Machine, Not

Bits = NDArray[np.uint8]
"""A packed row of truths, eight hypotheses a byte."""


@dataclass(frozen=True, slots=True)
class Link:
    """A weak link: the line from `event` into `gate`, and the chance that it is open."""

    gate: EventId
    event: EventId
    chance: float


@dataclass(frozen=True, slots=True)
class FlatGate:
    """One gate, ready to evaluate: inputs are (event, position in `links` or -1)."""

    event: EventId
    needed: int
    inputs: tuple[tuple[EventId, int], ...]


@dataclass(frozen=True, slots=True)
class CompiledTree:
    """The part of a tree that matters on one machine: gates in evaluation order, causes, weak links.

    `reach` gives for each cause the positions of the links that lie above it.
    """

    gates: tuple[FlatGate, ...]
    causes: tuple[EventId, ...]
    houses: tuple[EventId, ...]
    links: tuple[Link, ...]
    reach: Mapping[EventId, frozenset[int]]


def structure_of(
    library: Library, machine: Machine, tops: Sequence[EventId], watched: Collection[EventId]
) -> CompiledTree:
    """Flatten what lies under `tops`, and under `watched` events as far as it shares causes with them.

    Gates and causes that the machine cannot have are left out, so that they are false.
    """
    order, causes, houses = _walk_down(library, machine, tops)
    own = frozenset(causes)
    touching: dict[EventId, bool] = {}
    known = set(order)
    for watching in _walk_down(library, machine, list(watched))[0]:
        touching[watching] = any(
            input_.event in own or input_.event in known or touching.get(input_.event, False)
            for input_ in _inputs(library, machine, watching)
        )
        if touching[watching] and watching not in known:
            known.add(watching)
            order.append(watching)
    named = [event for event in watched if event in library.houses]
    houses = list(dict.fromkeys([*houses, *named, *_houses_of(library, machine, order)]))
    links: list[Link] = []
    flat: list[FlatGate] = []
    usable = own | known | set(houses)
    for event in order:
        gate = library.gate(event)
        assert gate is not None
        inputs: list[tuple[EventId, int]] = []
        for input_ in _inputs(library, machine, event):
            if input_.event not in usable:
                continue
            position = -1
            if input_.chance < 1.0:
                position = len(links)
                links.append(Link(event, input_.event, input_.chance))
            inputs.append((input_.event, position))
        flat.append(FlatGate(event, gate.needed, tuple(inputs)))
    return CompiledTree(tuple(flat), tuple(causes), tuple(houses), tuple(links), _reach(flat, causes))


def evaluate(
    structure: CompiledTree,
    causes: Mapping[EventId, Bits],
    links: Sequence[Bits],
    houses: AbstractSet[EventId],
    forced: Mapping[EventId, Bits],
    width: int,
) -> dict[EventId, Bits]:
    """Evaluate every event for a population of `8 * width` hypotheses.

    `causes` and `links` hold the packed truths of causes and of open links; `forced` bits are true in
    addition to what the gates make true.
    """
    none = np.zeros(width, dtype=np.uint8)
    everyone = np.full(width, 255, dtype=np.uint8)
    truth: dict[EventId, Bits] = dict(causes)
    for house in structure.houses:
        truth[house] = everyone if house in houses else none
    for gate in structure.gates:
        lines = [
            truth[event] if position < 0 else truth[event] & links[position]
            for event, position in gate.inputs
        ]
        result = at_least(gate.needed, lines, none, everyone)
        extra = forced.get(gate.event)
        truth[gate.event] = result if extra is None else result | extra
    return truth


def at_least(needed: int, lines: Sequence[Bits], none: Bits, everyone: Bits) -> Bits:
    """Where at least `needed` of `lines` are true, by the running table of a k-of-n gate."""
    if needed > len(lines):
        return none
    if needed == 1:
        result = none.copy()
        for line in lines:
            result |= line
        return result
    reached = [everyone, *(none.copy() for _ in range(needed))]
    for line in lines:
        for count in range(needed, 0, -1):
            reached[count] |= reached[count - 1] & line
    return reached[needed]


def where(condition: Condition, truth: Callable[[str], Bits], width: int) -> Bits:
    """The packed truths of a condition over events."""
    match condition:
        case Is(name):
            return truth(name)
        case Not(part):
            return ~where(part, truth, width)
        case All(parts):
            result = np.full(width, 255, dtype=np.uint8)
            for part in parts:
                result = result & where(part, truth, width)
            return result
        case Any(parts):
            result = np.zeros(width, dtype=np.uint8)
            for part in parts:
                result = result | where(part, truth, width)
            return result


def _inputs(library: Library, machine: Machine, event: EventId) -> Iterable[Input]:
    gate = library.gate(event)
    if gate is None or not machine.fits(gate.only_if):
        return ()
    return (input_ for input_ in gate.inputs if _possible(library, machine, input_.event))


def _possible(library: Library, machine: Machine, event: EventId) -> bool:
    known = library.causes.get(event) or library.gate(event)
    return machine.fits(known.only_if) if known else event in library.houses


def _walk_down(
    library: Library, machine: Machine, tops: Sequence[EventId]
) -> tuple[list[EventId], list[EventId], list[EventId]]:
    """Gates in evaluation order (inputs first), causes and house events in order of first visit."""
    gates: list[EventId] = []
    causes: list[EventId] = []
    houses: list[EventId] = []
    seen: set[EventId] = set()
    stack: list[tuple[EventId, bool]] = [(top, False) for top in reversed(tops)]
    while stack:
        event, done = stack.pop()
        if done:
            gates.append(event)
            continue
        if event in seen or not _possible(library, machine, event):
            continue
        seen.add(event)
        if event in library.causes:
            causes.append(event)
        elif event in library.houses:
            houses.append(event)
        else:
            stack.append((event, True))
            stack.extend((input_.event, False) for input_ in reversed(list(_inputs(library, machine, event))))
    return gates, causes, houses


def _houses_of(library: Library, machine: Machine, gates: Iterable[EventId]) -> Iterable[EventId]:
    return (
        input_.event
        for gate in gates
        for input_ in _inputs(library, machine, gate)
        if input_.event in library.houses
    )


def _reach(gates: Sequence[FlatGate], causes: Sequence[EventId]) -> dict[EventId, frozenset[int]]:
    above: dict[EventId, list[tuple[EventId, int]]] = {}
    for gate in gates:
        for event, position in gate.inputs:
            above.setdefault(event, []).append((gate.event, position))
    reach: dict[EventId, frozenset[int]] = {}
    for gate in reversed(gates):
        reach[gate.event] = _links_above(above.get(gate.event, ()), reach)
    return {cause: _links_above(above.get(cause, ()), reach) for cause in causes}


def _links_above(
    lines: Iterable[tuple[EventId, int]], reach: Mapping[EventId, frozenset[int]]
) -> frozenset[int]:
    found: set[int] = set()
    for gate, position in lines:
        if position >= 0:
            found.add(position)
        found |= reach[gate]
    return frozenset(found)
