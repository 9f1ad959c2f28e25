"""Plain data as YAML text: blocks for mappings and lists, quoted text, plain numbers.

Writes what the library's own reader gives for an entry, so that reading it again gives the same.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence

_PLAIN = re.compile(r"(?!y$|n$|yes$|no$|on$|off$)[a-z][a-z0-9]*(?:[-_][a-z0-9]+)*")
_WORDS = frozenset({"true", "false", "null"})
_UNPRINTABLE = re.compile("[^ -~\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]")
_BARE_EXPONENT = re.compile(r"^(-?[0-9]+)e")
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
    if isinstance(value, str):
        if _PLAIN.fullmatch(value) and value not in _WORDS:
            return value
        quoted = json.dumps(value, ensure_ascii=False)
        return _UNPRINTABLE.sub(lambda found: f"\\U{ord(found[0]):08X}", quoted)
    written = json.dumps(value)
    return _BARE_EXPONENT.sub(r"\1.0e", written) if isinstance(value, float) else written
