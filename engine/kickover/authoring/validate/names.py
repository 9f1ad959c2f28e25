"""Reviews of names: everything that is named must exist, and be of the kind that is wanted there."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, is_dataclass
from typing import Any as AnyValue

from kickover.authoring.sections import SECTIONS, trail_to
from kickover.authoring.validate.context import ValidationContext, mend_name
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
        named
        for named in _all_names(subject.library)
        if named.name not in known[named.kind] and named.name not in subject.spoken_of
    )
    for count, named in enumerate(unknown):
        name, kind = named.name, named.kind
        others = [other for other in _ELSEWHERE if name in known[other]]
        message = f"there is no {kind} `{name}`"
        if others:
            message = f"`{name}` is {_called(others[0])}, and {_called(kind)} is wanted here"
        hint = f"add it {_WHERE[kind]}, or name another" if kind in _WHERE else _NAME_A_FORMULA
        if {kind, *others} == {"tool", "spare"}:
            hint = f"name it under `{others[0]}s:`"
        elif count < (MOST_GUESSES if len(known[kind]) < 2_000 else MOST_GUESSES // 10):
            hint = mend_name(name, known[kind], hint)
        yield Problem(named.place, "/".join(named.trail), message, hint)


MOST_GUESSES = 50
_NAME_A_FORMULA = "name one that `kickover figure` knows"
_ELSEWHERE = ("event", "setup", "danger", "tool", "spare", "hazard", "trait", "check")
_WHERE = {
    "event": "under `events:`",
    "complaint": "under `complaints:`",
    "cause": "under `causes:`",
    "house event": "under `situation:`",
    "check": "under `checks:`",
    "setup": "under `setups:`",
    "danger": "under `dangers:`",
    "setup or danger": "under `setups:` or `dangers:`",
    "hazard": "under `hazards:`",
    "source": "under `sources:`",
    "tool": "under `tools:`",
    "spare": "under `spares:`",
    "item": "under `tools:` or `spares:`",
    "trait": "under `traits:`",
    "figure": "under `figures:`",
    "machine": "as the `machine:` of a file",
    "kit": "as the `kit:` of a file",
    "place": "under `places:` of a drawing",
    "symbol": "under `symbols:`",
}
_CALLED = {
    "event": "an event",
    "setup or danger": "a setup or a danger",
    "item": "a tool or spare",
    "place": "a place on a drawing",
}


def _called(kind: str) -> str:
    return _CALLED.get(kind, f"a {kind}")


def _known(library: Library) -> Mapping[str, Collection[str]]:
    of_setups, of_items = library.setups.values(), library.items.values()
    return {
        "event": {*library.complaints, *library.gates, *library.causes, *library.houses},
        "complaint": library.complaints,
        "cause": library.causes,
        "house event": library.houses,
        "check": library.checks,
        "setup": {setup.id for setup in of_setups if not setup.danger},
        "danger": {setup.id for setup in of_setups if setup.danger},
        "setup or danger": library.setups,
        "hazard": library.hazards,
        "source": library.sources,
        "tool": {item.id for item in of_items if not item.spare},
        "spare": {item.id for item in of_items if item.spare},
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
            yield from _names_of(entity, entity.place, trail_to(entity))


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
            for part in found if isinstance(found, tuple) else sorted(found):
                own = getattr(part, "id", getattr(part, "finding", ""))
                yield from _names_in(part, kind, place, (*trail, own) if own else trail)
        case _ if is_dataclass(found) and not isinstance(found, Quantity):
            yield from _names_of(found, place, trail)


REVIEWS = (check_names,)
