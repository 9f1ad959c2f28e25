"""A library as JSON text and back, for the cache. It makes the library's own values and nothing else.

A value is written as a list that begins with the name of its type; texts, numbers and nothing stand for
themselves. Reading looks each name up in a fixed table, so no text can make anything but these values.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from enum import StrEnum
from typing import Any as AnyValue

from kickover.library import model
from kickover.library.model import Library
from kickover.problem import KickoverError, Place
from kickover.quantity import Quantity

_TUPLE, _SET = "()", "{}"
_TYPES: Mapping[str, type] = {
    known.__name__: known
    for known in (Place, Quantity, *(getattr(model, name) for name in model.__all__))
    if isinstance(known, type)
}

FORM = hashlib.sha256(
    repr(
        [
            (name, [one.name for one in fields(known)])
            for name, known in sorted(_TYPES.items())
            if is_dataclass(known)
        ]
    ).encode()
).hexdigest()
"""What a written library looks like: another form whenever a type or one of its fields changes."""


class CodecError(KickoverError):
    """A text that is not a library as this version writes it."""


def to_text(library: Library) -> str:
    """Write a library as JSON."""
    return json.dumps(_written(library), ensure_ascii=False, separators=(",", ":"))


def from_text(text: str) -> Library:
    """Read a library that `to_text` wrote. Raises CodecError for anything else."""
    try:
        value = _read(json.loads(text))
    except (ValueError, TypeError, KeyError, IndexError, KickoverError, RecursionError) as error:
        raise CodecError(f"this is no library in the cache's form ({error}); delete the file") from None
    if not isinstance(value, Library):
        raise CodecError("this is no library in the cache's form; delete the file")
    return value


def _written(value: AnyValue) -> AnyValue:
    if isinstance(value, StrEnum):
        return [type(value).__name__, value.value]
    if is_dataclass(value):
        return [type(value).__name__, *(_written(getattr(value, one.name)) for one in fields(value))]
    if isinstance(value, tuple):
        return [_TUPLE, *map(_written, value)]
    if isinstance(value, frozenset):
        return [_SET, *sorted(value)]
    if isinstance(value, Mapping):
        return {key: _written(one) for key, one in value.items()}
    return value


def _read(value: AnyValue) -> AnyValue:
    if type(value) is list:
        name = value[0]
        if name == _TUPLE:
            return tuple(map(_read, value[1:]))
        if name == _SET:
            return frozenset(value[1:])
        return _TYPES[name](*map(_read, value[1:]))
    if type(value) is dict:
        return {key: _read(one) for key, one in value.items()}
    return value
