"""Reviews of the tree: loops, odd gates, events that nobody reaches, complaints without a cause."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from functools import partial

from kickover.authoring.validate.context import ValidationContext, listed_ids, wrong
from kickover.core.ids import EventId, MachineId
from kickover.core.problem import Problem
from kickover.model.graph import loops_in


def check_loops(subject: ValidationContext) -> Iterator[Problem]:
    """Events that lead back to themselves."""
    for loop in subject.structure.loops:
        way = " → ".join((*loop, loop[0]))
        hint = "take one of them out of the `of:` of the one before"
        yield wrong(subject.event(loop[0]), f"these events lead in a circle: {way}", hint, "of")


def check_under(subject: ValidationContext) -> Iterator[Problem]:
    """Causes that place themselves under something that is no or-gate, or that names them already."""
    gates = subject.library.gates
    for cause in subject.library.causes.values():
        for name in cause.under:
            gate = gates.get(name)
            named = gate is not None and [line.event for line in gate.inputs].count(cause.id) != 1
            if gate is not None and (gate.needed != 1 or named):
                message = f"`{name}` cannot be joined by `under:` of `{cause.id}`"
                hint = "name an or-gate that does not have it in its `of:` already"
                yield wrong(cause, message, hint, "under")


def check_brings(subject: ValidationContext) -> Iterator[Problem]:
    """Causes that bring each other about in a circle: one of them must be the root."""
    brings = subject.library.brings
    place = {cause: number for number, cause in enumerate(brings)}
    for loop in loops_in(
        {cause: known.events for cause, known in brings.items()}, partial(min, key=place.get)
    ):
        message = f"these causes bring each other about in a circle: {' → '.join((*loop, loop[0]))}"
        hint = "take one of them out of the `events:` of the one before"
        yield wrong(brings[loop[0]], message, hint, "events")


def check_gates(subject: ValidationContext) -> Iterator[Problem]:
    """Inputs that stand twice in one gate, and more inputs needed than there are."""
    for gate in subject.structure.gates.values():
        event = subject.event(gate.id)
        seen = set()
        for line in gate.inputs:
            if line.event in seen:
                yield wrong(
                    event, f"`{line.event}` goes into `{gate.id}` twice", "delete one", "of", line.event
                )
            seen.add(line.event)
            if not 0 < line.chance <= 1:
                message = f"`{line.event}` goes into `{gate.id}` with the chance {line.chance:g}"
                yield wrong(event, message, "write a chance above 0, up to 1", "of", line.event)
        if gate.needed > len(gate.inputs):
            message = f"`{gate.id}` needs {gate.needed} of {len(gate.inputs)} inputs"
            yield wrong(event, message, f"write `k:` from 1 to {len(gate.inputs)}", "k")


def check_reached(subject: ValidationContext) -> Iterator[Problem]:
    """Events and causes to which no complaint leads; of a whole branch only its top is named."""
    structure, library = subject.structure, subject.library
    reached = structure.below(
        [*library.complaints, *(event for event in structure.gates if event in subject.spoken_of)]
    )
    for event in (*library.gates, *library.causes):
        if event in reached or event in subject.spoken_of or structure.parents.get(event):
            continue
        message = f"no complaint leads to `{event}`"
        yield wrong(subject.event(event), message, "name it in the `of:` of an event or a complaint")


def check_complaints(subject: ValidationContext) -> Iterator[Problem]:
    """Complaints that are true without any cause, and such as no cause can bring about on some machine."""
    structure, complaints = subject.structure, subject.library.complaints
    if structure.loops:
        return
    for event in sorted(structure.possible(set(structure.houses)) & complaints.keys()):
        message = f"`{event}` is true by the situation alone, without any cause"
        hint = "join house events to causes by an `and` gate"
        yield wrong(complaints[event], message, hint, "of")
    for event, machines in sorted(_barren(subject).items()):
        message = f"no cause can bring `{event}` about on {listed_ids(machines)}"
        hint = "add a cause that fits it, or `only_if:` to the complaint"
        yield wrong(complaints[event], message, hint, "of")


def _barren(subject: ValidationContext) -> Mapping[EventId, Sequence[MachineId]]:
    """The machines on which a complaint fits, but none of the causes below it can be."""
    structure, library = subject.structure, subject.library
    named = {line.event for gate in structure.gates.values() for line in gate.inputs}
    unread = named - structure.gates.keys() - library.causes.keys()
    found: dict[EventId, list[MachineId]] = defaultdict(list)
    for machine in subject.machines:
        fitting = {cause.id for cause in library.causes.values() if machine.fits(cause.only_if)}
        possible = structure.possible(fitting | unread, machine)
        for event, complaint in library.complaints.items():
            if event not in possible and machine.fits(complaint.gate.only_if):
                found[event].append(machine.id)
    return found


REVIEWS = (check_loops, check_under, check_brings, check_gates, check_reached, check_complaints)
