"""How the fields of an entity are written by authors, read off its type hints.

A field is written under its own name unless it says otherwise, and must be written unless it has a default.
`Annotated` carries what its type alone does not tell: the key, the section, the kind of thing that an id must
name, the bounds of a value and how an author is told to write it. Decoding, the JSON schema of authored files
and the review of names go by this alone, so that a new field of an entity is one line there.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import MISSING, dataclass, fields, is_dataclass
from functools import cache
from typing import Annotated, get_args, get_origin, get_type_hints
from typing import Any as AnyValue

from kickover.core.ids import ID_PATTERN, KINDS, Kind, SourceId


@dataclass(frozen=True, slots=True)
class Key:
    """The key under which a field is written; empty when what it holds stands in the entry itself."""

    name: str


IN_PLACE = Key("")
OWN_ID = Key("id")
NOT_WRITTEN = Key("-")
"""Of a field that is worked out of what is written under other keys."""


@dataclass(frozen=True, slots=True)
class FromSection:
    """A flag that nobody writes: it is true of the entries of one section."""

    key: str


@dataclass(frozen=True, eq=False)
class Form:
    """What may be written for a value: keywords of JSON Schema, `description` being what to write.

    They add to those that follow from the type, or stand `alone`.
    """

    keywords: dict[str, AnyValue]
    alone: bool = False


def bounds(says: str, **keywords: AnyValue) -> Form:
    """What holds of a value besides its type."""
    return Form({**keywords, "description": says} if says else keywords)


def instead(says: str, **keywords: AnyValue) -> Form:
    """The form of a value that is not written as its type would have it."""
    return Form({**keywords, "description": says}, alone=True)


ID_FORM = instead(
    "lower-case words joined by hyphens, such as `plug-fouled-wet`",
    type="string",
    pattern=f"^{ID_PATTERN.pattern}$",
)
Name = Annotated[str, ID_FORM]
Unit = Annotated[str, instead("a unit, such as `mm`", type="string")]
Minutes = Annotated[float, bounds("a number of minutes, such as `2.5`", minimum=0, maximum=100_000)]
Amount = Annotated[float, bounds("a number that is not negative", minimum=0, maximum=10_000_000)]
Chance = Annotated[float, bounds("a probability between 0 and 1, such as `0.3`", minimum=0, maximum=1)]
Factor = Annotated[float, bounds("a number above 0", exclusiveMinimum=0)]
Sources = Annotated[
    tuple[SourceId, ...],
    Key("source"),
    bounds(
        "the id of a source, or a list of them",
        type=["string", "array"],
        pattern=f"^{ID_PATTERN.pattern}$",
        uniqueItems=False,
    ),
]


@dataclass(frozen=True, slots=True)
class AuthoredField:
    """One field of an entity.

    `hint` is its type; `kind` what the ids in it must name, empty for no matter what; `holds_entities` says
    that it holds dataclasses with fields of their own.
    """

    name: str
    key: str
    section: str
    hint: AnyValue
    required: bool
    kind: str
    holds_entities: bool


def authored_fields(entity: AnyValue) -> tuple[AuthoredField, ...]:
    """The fields of a dataclass."""
    return _fields_of(entity)


@cache
def _fields_of(entity: AnyValue) -> tuple[AuthoredField, ...]:
    hints = get_type_hints(entity, include_extras=True)
    found = []
    for field in fields(entity):
        hint = hints[field.name]
        marks = marks_of(hint)
        inner = tuple(_parts(hint))
        found.append(
            AuthoredField(
                name=field.name,
                key=next((mark.name for mark in marks if isinstance(mark, Key)), field.name),
                section=next((mark.key for mark in marks if isinstance(mark, FromSection)), ""),
                hint=hint,
                required=field.default is MISSING and field.default_factory is MISSING,
                kind=next((part.name for part in inner if isinstance(part, Kind)), ""),
                holds_entities=any(is_dataclass(part) for part in inner if isinstance(part, type)),
            )
        )
    return tuple(found)


def marks_of(hint: AnyValue) -> tuple[AnyValue, ...]:
    """The annotations of a type, the innermost first."""
    if get_origin(hint) is Annotated:
        return (*marks_of(hint.__origin__), *hint.__metadata__)
    parts = get_args(hint)
    return marks_of(parts[0]) if type(None) in parts else ()


@cache
def bare(hint: AnyValue) -> AnyValue:
    """A type without its annotations, and without None as another choice."""
    if get_origin(hint) is Annotated:
        return bare(hint.__origin__)
    parts = get_args(hint)
    return bare(parts[0]) if type(None) in parts else hint


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
