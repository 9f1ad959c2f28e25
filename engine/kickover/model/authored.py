"""How the fields of an entity are written by authors, read off its type hints.

A field is written under its own name unless it says otherwise. `Annotated` carries what its type alone does
not tell: the key, the section, or the kind of thing that an id must name. Decoding and the review of names
go by this alone, so that a new field of an entity is one line there, and one in its schema.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import MISSING, dataclass, fields, is_dataclass
from functools import cache
from typing import Annotated, get_args, get_origin, get_type_hints
from typing import Any as AnyValue

from kickover.core.ids import KINDS, Kind


@dataclass(frozen=True, slots=True)
class Key:
    """The key under which a field is written; empty when what it holds stands in the entry itself."""

    name: str


IN_PLACE = Key("")
OWN_ID = Key("id")


@dataclass(frozen=True, slots=True)
class FromSection:
    """A flag that nobody writes: it is true of the entries of one section."""

    key: str


@dataclass(frozen=True, slots=True)
class AuthoredField:
    """One field of an entity.

    `hint` is its type without annotations; `kind` what the ids in it must name, empty for no matter what;
    `holds_entities` says that it holds dataclasses with fields of their own.
    """

    name: str
    key: str
    section: str
    hint: AnyValue
    default: AnyValue
    kind: str
    holds_entities: bool


def authored_fields(entity: AnyValue) -> tuple[AuthoredField, ...]:
    """The fields of a dataclass; `default` is `MISSING` where it gives none."""
    return _fields_of(entity)


@cache
def _fields_of(entity: AnyValue) -> tuple[AuthoredField, ...]:
    hints = get_type_hints(entity, include_extras=True)
    found = []
    for one in fields(entity):
        hint = hints[one.name]
        marks = hint.__metadata__ if get_origin(hint) is Annotated else ()
        default = one.default if one.default_factory is MISSING else one.default_factory()
        inner = tuple(_parts(hint))
        found.append(
            AuthoredField(
                name=one.name,
                key=next((mark.name for mark in marks if isinstance(mark, Key)), one.name),
                section=next((mark.key for mark in marks if isinstance(mark, FromSection)), ""),
                hint=bare(hint),
                default=default,
                kind=next((part.name for part in inner if isinstance(part, Kind)), ""),
                holds_entities=any(is_dataclass(part) for part in inner if isinstance(part, type)),
            )
        )
    return tuple(found)


def bare(hint: AnyValue) -> AnyValue:
    """A type without its annotations."""
    return hint.__origin__ if get_origin(hint) is Annotated else hint


def _parts(hint: AnyValue) -> Iterator[AnyValue]:
    """What a type is made of, marks first: the kind that a mark states goes before that of the bare id."""
    if get_origin(hint) is Annotated:
        yield from hint.__metadata__
        hint = hint.__origin__
    yield hint
    if hint in KINDS:
        yield KINDS[hint]
    for part in get_args(hint):
        yield from _parts(part)
