"""Entries to the events of the tree: complaints, gates, causes, house events."""

from __future__ import annotations

from collections.abc import Mapping

from kickover.authoring.entry_values import condition, hazards, number, setups, sources, text, texts
from kickover.authoring.located import Table, inner, listed
from kickover.authoring.sections import Entry
from kickover.core.ids import EventId
from kickover.model.library import Cause, Complaint, Gate, HouseEvent, Input, Proof


def complaint(entry: Entry) -> Complaint:
    """Give a complaint with its top gate and its proof."""
    proof = inner(entry.data, "proof")
    return Complaint(
        gate=gate(entry),
        words=texts(entry.data, "words"),
        implies=tuple(EventId(one) for one in texts(entry.data, "implies")),
        proof=Proof(
            ask=text(proof, "ask"),
            how=texts(proof, "how"),
            minutes=number(proof, "minutes"),
            needs=setups(proof, "needs"),
            hazards=hazards(proof),
        ),
        strands=bool(entry.data.get("strands", False)),
    )


def gate(entry: Entry) -> Gate:
    """Give a gate with the number of inputs that it takes."""
    inputs = tuple(_input(one) for one in listed(entry.data, "of"))
    if entry.data["gate"] == "and" and len(inputs) == 1:
        entry.report(["of"], f"{entry.title} is an `and` of one input", "add the others, or write `gate: or`")
    needed = {"or": 1, "and": len(inputs)}.get(str(entry.data["gate"]))
    return Gate(
        id=EventId(entry.id),
        title=text(entry.data, "title"),
        needed=int(number(entry.data, "k")) if needed is None else needed,
        inputs=inputs,
        only_if=condition(entry.data, "only_if"),
        about=text(entry.data, "about"),
        place=entry.place(),
    )


def _input(written: object) -> Input:
    if isinstance(written, Table):
        return Input(EventId(str(written["event"])), number(written, "chance", 1.0))
    return Input(EventId(str(written)))


def cause(entry: Entry, rates: Mapping[str, float]) -> Cause:
    """Give a cause, its rate word turned into the number that the settings give it."""
    rate = entry.data["rate"]
    if isinstance(rate, str) and rate not in rates:
        entry.report(
            ["rate"], f"`{rate}` is no rate word", f"write one of {', '.join(rates) or 'none'}, or a number"
        )
    factors = inner(entry.data, "factors")
    return Cause(
        id=EventId(entry.id),
        title=text(entry.data, "title"),
        rate=rates.get(rate, 1.0) if isinstance(rate, str) else number(entry.data, "rate"),
        rate_word=rate if isinstance(rate, str) else "",
        factors={EventId(name): number(factors, name) for name in factors},
        only_if=condition(entry.data, "only_if"),
        about=text(entry.data, "about"),
        prevention=text(entry.data, "prevention"),
        ride=bool(entry.data.get("ride", True)),
        sources=sources(entry.data),
        place=entry.place(),
    )


def house(entry: Entry) -> HouseEvent:
    """Give a house event."""
    return HouseEvent(
        id=EventId(entry.id),
        title=text(entry.data, "title"),
        ask=text(entry.data, "ask"),
        excludes=tuple(EventId(one) for one in texts(entry.data, "excludes")),
        wait=number(entry.data, "wait") if "wait" in entry.data else None,
        how=text(entry.data, "how"),
        place=entry.place(),
    )
