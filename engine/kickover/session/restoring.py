"""From a journal back to the walk: its machine, its beginning, and every entry that still fits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any as AnyValue

from kickover.core.ids import EventId, FigureId, ItemId, MachineId, TraitId
from kickover.core.problem import KickoverError, SourcePlace
from kickover.model.library import Library, Machine
from kickover.session.journal import Heading, JournalError, Record
from kickover.session.session import Session, begin
from kickover.units import parse_stated


@dataclass(frozen=True, slots=True)
class Restored:
    """A walk as its journal has it, and remarks on what is no longer as it was."""

    session: Session
    notes: tuple[str, ...]


def profile_of(machine: Machine) -> Mapping[str, AnyValue]:
    """A machine as plain data, so that a walk does not depend on a file that may change or go."""
    return {
        "id": machine.id,
        "title": machine.title,
        "about": machine.about,
        "traits": sorted(machine.traits),
        "figures": {name: str(value) for name, value in machine.figures.items()},
    }


def machine_of(heading: Heading, library: Library) -> Machine:
    """The machine of a walk: the one kept in its journal, or the library's. JournalError for neither."""
    profile = heading.profile
    if profile is None:
        known = library.machines.get(MachineId(heading.machine))
        if known is None:
            raise JournalError(
                f"walk {heading.walk}: the library has no machine {heading.machine!r} any more"
            )
        return known
    try:
        return Machine(
            id=MachineId(profile["id"]),
            title=str(profile["title"]),
            about=str(profile["about"]),
            invented=False,
            traits=frozenset(TraitId(one) for one in profile["traits"]),
            figures={FigureId(name): parse_stated(value) for name, value in profile["figures"].items()},
            place=SourcePlace(heading.walk, 1),
        )
    except (KeyError, TypeError, AttributeError, KickoverError) as error:
        raise JournalError(f"walk {heading.walk}: its machine cannot be read ({error})") from None


def begun(heading: Heading, library: Library) -> Session:
    """The walk at its beginning. JournalError when the library lacks its complaints."""
    complaints = [
        EventId(complaint) for complaint in heading.complaints if EventId(complaint) in library.complaints
    ]
    if not complaints:
        named = ", ".join(heading.complaints)
        raise JournalError(f"walk {heading.walk}: the library has no complaint {named} any more")
    given = frozenset(EventId(one) for one in heading.given if EventId(one) in library.houses)
    kit = None if heading.items is None else frozenset(ItemId(item) for item in heading.items)
    return begin(library, machine_of(heading, library), complaints, given, kit, heading.give_up)


def restored(record: Record, library: Library) -> Restored:
    """The walk with all of its entries; those that no longer fit are left out and told."""
    session = begun(record.heading, library)
    notes = [f"{record.damage}."] if record.damage else []
    if record.heading.version != library.version:
        notes.append("The library has changed since this walk began; the answers are weighed anew.")
    gone = [
        complaint for complaint in record.heading.complaints if EventId(complaint) not in library.complaints
    ]
    notes += [f"The library has no complaint {one!r} any more; it is left out." for one in gone]
    for stamped in record.entries:
        try:
            session = session.record(stamped.entry)
        except KickoverError as error:
            notes.append(f"{error}; that entry is left out.")
    return Restored(session, tuple(f"{note[:1].upper()}{note[1:]}" for note in notes))
