"""Plain data as YAML text: blocks for mappings and lists, quoted text, plain numbers.

Writes what the library's own reader gives for an entry, so that reading it again gives the same.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence

from kickover.ids import is_id

_WORDS = frozenset({"true", "false", "null"})
_STEP = "  "


def lines_of(data: Mapping[str, object], indent: str = "") -> Iterator[str]:
    """The lines of a mapping, each without its line break."""
    for key, value in data.items():
        yield from _under(f"{indent}{_scalar(key)}:", value, indent + _STEP)


def _under(head: str, value: object, indent: str) -> Iterator[str]:
    match value:
        case Mapping() if value:
            yield head
            yield from lines_of(value, indent)
        case str() | bool() | int() | float() | None:
            yield f"{head} {_scalar(value)}"
        case Sequence() if value:
            yield head
            for item in value:
                yield from _item(item, indent)
        case _:
            yield f"{head} {'{}' if isinstance(value, Mapping) else '[]'}"


def _item(item: object, indent: str) -> Iterator[str]:
    match item:
        case Mapping() if item:
            lines = lines_of(item, indent + _STEP)
            yield f"{indent}- {next(lines).strip()}"
            yield from lines
        case str() | bool() | int() | float() | None:
            yield f"{indent}- {_scalar(item)}"
        case _:
            yield from _under(f"{indent}-", item, indent + _STEP)


def _scalar(value: object) -> str:
    if isinstance(value, str) and is_id(value) and value not in _WORDS:
        return value
    return json.dumps(value, ensure_ascii=False)
