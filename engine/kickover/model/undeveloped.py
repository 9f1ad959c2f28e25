"""Undeveloped events (the diamond of IEC 61025): what may be wrong at a gate and is not listed there.

Under every or-gate that some check observes stands an event "something else" with a small share of the
gate's rate. It shows through the checks of that gate and of those above it, and through no cause's own, so
that it rises by itself as the listed causes of the gate are ruled out. It comes alone: that something which
is not listed meets a second fault is left out. Finding it is a mechanic's job with minutes of its own.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from kickover.core.ids import EventId, RepairId
from kickover.model.library import (
    Cause,
    Condition,
    Gate,
    Input,
    Library,
    Machine,
    Needs,
    Repair,
    names_in,
)

FOUND_BY_A_MECHANIC = 0.85
"""The chance that a mechanic who is told where to look finds it (estimate)."""


def undeveloped_event(gate: EventId) -> EventId:
    """The id of the undeveloped event under a gate."""
    return EventId(f"something-else-at-{gate}")


def with_undeveloped(library: Library, machine: Machine | None) -> Library:
    """The library with an undeveloped event, and the job of finding it, under each gate that takes one.

    An event has the gate's share (its own, or that of the settings) of the rates of the causes under it that
    are under no lower such gate, and of one occasional cause for each such gate right below it. Without a
    machine everything counts that any machine can have.
    """
    shares = dict(_shares(library, machine))
    if not shares:
        return library
    gates, complaints = dict(library.gates), dict(library.complaints)
    causes, repairs = dict(library.causes), dict(library.repairs)
    for id_, share in shares.items():
        gate = library.gate(id_)
        assert gate is not None
        event = undeveloped_event(id_)
        grown = replace(gate, inputs=(*gate.inputs, Input(event)))
        if id_ in complaints:
            complaints[id_] = replace(complaints[id_], gate=grown)
        else:
            gates[id_] = grown
        causes[event] = _cause(gate, event, share * _rate(library, machine, gate, frozenset(shares)))
        repair = _found_by_a_mechanic(gate, event, library.settings.undeveloped_minutes)
        repairs[repair.id] = repair
    return replace(library, gates=gates, complaints=complaints, causes=causes, repairs=repairs)


def _shares(library: Library, machine: Machine | None) -> Iterator[tuple[EventId, float]]:
    usual = library.settings.undeveloped_share
    observed = dict.fromkeys(
        EventId(name)
        for check in library.checks.values()
        if _fits(machine, check.needs.only_if)
        for line in check.lines
        for name in names_in(line.when)
    )
    for event in observed:
        gate = library.gate(event)
        if gate is None or gate.needed != 1 or not _fits(machine, gate.only_if):
            continue
        share = usual if gate.undeveloped is None else gate.undeveloped
        if share > 0.0:
            yield event, share


def _rate(library: Library, machine: Machine | None, gate: Gate, others: frozenset[EventId]) -> float:
    total = 0.0
    seen: set[EventId] = set()
    waiting = [input_.event for input_ in gate.inputs]
    while waiting:
        event = waiting.pop()
        if event in seen:
            continue
        seen.add(event)
        below = library.gate(event)
        if event in others:
            total += 1.0
        elif below is not None and _fits(machine, below.only_if):
            waiting += [input_.event for input_ in below.inputs]
        elif event in library.causes and _fits(machine, library.causes[event].only_if):
            total += library.causes[event].rate
    return total


def _fits(machine: Machine | None, condition: Condition) -> bool:
    return machine is None or machine.fits(condition)


def _cause(gate: Gate, event: EventId, rate: float) -> Cause:
    title = f"Something else: {gate.title[:1].lower()}{gate.title[1:]}"
    about = "Something that is not in the list, with the same effect."
    return Cause(event, title, rate, gate.place, about, undeveloped=True)


def _found_by_a_mechanic(gate: Gate, event: EventId, minutes: float) -> Repair:
    return Repair(
        id=RepairId(f"find-{event}"),
        title=f"Have a mechanic find what else it is: {gate.title[:1].lower()}{gate.title[1:]}",
        roadside=False,
        cures={event: FOUND_BY_A_MECHANIC},
        how=("Show the report: what was found, and what was ruled out.", f"Start from here: {gate.title}."),
        needs=Needs(minutes=minutes),
        place=gate.place,
    )
