"""Reviews of names: everything that is named must exist, and be of the kind that is wanted there."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, is_dataclass
from typing import Any as AnyValue

from kickover.authoring.sections import SECTIONS, Section
from kickover.authoring.validate.context import ValidationContext, at, mend_name
from kickover.core.problem import Problem, SourcePlace
from kickover.formulas import registry
from kickover.model.authored import IN_PLACE, OWN_ID, authored_fields
from kickover.model.library import All, Any, Is, Library, Not, names_in
from kickover.units import Quantity


@dataclass(frozen=True, slots=True)
class _Named:
    """One name, where it stands, and the kind of thing that it must be."""

    name: str
    kind: str
    place: SourcePlace
    trail: tuple[str, ...]


def check_names(subject: ValidationContext) -> Iterator[Problem]:
    """Unknown names of every kind, the first `MOST_GUESSES` with the nearest known one."""
    known = _known(subject.library)
    unknown = (
        all_name
        for all_name in _all_names(subject.library)
        if all_name.name not in known[all_name.kind] and all_name.name not in subject.spoken_of
    )
    for count, one in enumerate(unknown):
        others = [kind for kind in _ELSEWHERE if one.name in known[kind]]
        message = f"there is no {one.kind} `{one.name}`"
        if others:
            message = f"`{one.name}` is {_A[others[0]]}, and {_A[one.kind]} is wanted here"
        hint = _ADD[one.kind]
        if {one.kind, *others} == {"tool", "spare"}:
            hint = f"name it under `{others[0]}s:`"
        elif count < (MOST_GUESSES if len(known[one.kind]) < 2_000 else MOST_GUESSES // 10):
            hint = mend_name(one.name, known[one.kind], hint)
        yield at(one.place, message, hint, *one.trail)


MOST_GUESSES = 50
_A = {
    "event": "an event",
    "complaint": "a complaint",
    "cause": "a cause",
    "house event": "a house event",
    "check": "a check",
    "setup": "a setup",
    "danger": "a danger",
    "setup or danger": "a setup or a danger",
    "hazard": "a hazard",
    "source": "a source",
    "tool": "a tool",
    "spare": "a spare",
    "item": "a tool or spare",
    "trait": "a trait",
    "figure": "a figure",
    "formula": "a formula",
    "machine": "a machine",
    "kit": "a kit",
    "place": "a place on a drawing",
    "symbol": "a symbol",
}
_ADD = {
    "event": "add it under `events:`, or name another",
    "complaint": "add it under `complaints:`, or name another",
    "cause": "add it under `causes:`, or name another",
    "house event": "add it under `situation:`, or name another",
    "check": "add it under `checks:`, or name another",
    "setup": "add it under `setups:`, or name another",
    "danger": "add it under `dangers:`, or name another",
    "setup or danger": "add it under `setups:` or `dangers:`, or name another",
    "hazard": "add it under `hazards:`, or name another",
    "source": "add it under `sources:`, or name another",
    "tool": "add it under `tools:`, or name another",
    "spare": "add it under `spares:`, or name another",
    "item": "add it under `tools:` or `spares:`, or name another",
    "trait": "add it under `traits:`, or name another",
    "figure": "add it under `figures:`, or name another",
    "formula": "name one that `kickover figure` knows",
    "machine": "add it as the `machine:` of a file, or name another",
    "kit": "add it as the `kit:` of a file, or name another",
    "place": "add it under `places:` of a drawing, or name another",
    "symbol": "add it under `symbols:`, or name another",
}
_ELSEWHERE = ("event", "setup", "danger", "tool", "spare", "hazard", "trait", "check")


def _known(library: Library) -> Mapping[str, Collection[str]]:
    return {
        "event": {*library.complaints, *library.gates, *library.causes, *library.houses},
        "complaint": library.complaints,
        "cause": library.causes,
        "house event": library.houses,
        "check": library.checks,
        "setup": {setup.id for setup in library.setups.values() if not setup.danger},
        "danger": {setup.id for setup in library.setups.values() if setup.danger},
        "setup or danger": library.setups,
        "hazard": library.hazards,
        "source": library.sources,
        "tool": {item.id for item in library.items.values() if not item.spare},
        "spare": {item.id for item in library.items.values() if item.spare},
        "item": library.items,
        "trait": library.traits,
        "figure": library.figures,
        "formula": registry(),
        "machine": library.machines,
        "kit": library.kits,
        "place": {name for drawing in library.drawings.values() for name in drawing.places},
        "symbol": library.symbols,
    }


def _all_names(library: Library) -> Iterator[_Named]:
    """Every name in every entity that a section holds, by one walk over the fields that hold ids."""
    authored = {section.entity for section in SECTIONS.values()}
    for field in authored_fields(Library):
        held = getattr(library, field.name)
        for entity in held.values() if isinstance(held, Mapping) else ():
            if type(entity) not in authored:
                continue
            section = _section_of(entity)
            trail = (section.key,) if section.alone else (section.key, entity.id)
            yield from _names_of(entity, entity.place, trail)


def _section_of(entity: AnyValue) -> Section:
    """The section in which an entity is written; one that two sections share tells by a flag in which."""
    flags = {
        field.section: getattr(entity, field.name) for field in authored_fields(type(entity)) if field.section
    }
    return next(
        section
        for section in SECTIONS.values()
        if section.entity is type(entity) and flags.get(section.key, not any(flags.values()))
    )


def _names_of(entity: AnyValue, place: SourcePlace, trail: tuple[str, ...]) -> Iterator[_Named]:
    """The names in the fields of an entity, each with the trail of keys that leads to it."""
    place = getattr(entity, "place", place)
    for field in authored_fields(type(entity)):
        if field.name == "id" or not (field.kind or field.holds_entities):
            continue
        steps = trail if field.key in (IN_PLACE.name, OWN_ID.name) else (*trail, field.key)
        yield from _names_in(getattr(entity, field.name), field.kind, place, steps)


def _names_in(found: AnyValue, kind: str, place: SourcePlace, trail: tuple[str, ...]) -> Iterator[_Named]:
    match found:
        case str() if kind:
            yield _Named(found, kind, place, (*trail, found))
        case Is() | Not() | All() | Any():
            yield from (_Named(name, kind, place, trail) for name in names_in(found))
        case Mapping():
            for name, value in found.items():
                yield from _names_in(name, kind, place, trail)
                yield from _names_in(value, "", place, (*trail, name))
        case tuple() | frozenset():
            for one in found if isinstance(found, tuple) else sorted(found):
                own = getattr(one, "id", getattr(one, "finding", ""))
                yield from _names_in(one, kind, place, (*trail, own) if own else trail)
        case _ if is_dataclass(found) and not isinstance(found, Quantity):
            yield from _names_of(found, place, trail)
