"""Libraries that were found sound, kept so that the next start need not read and review them again.

A cached library is named by the content of its files, so a change makes another one, and begins with the
checksum of its own text, so that a damaged one is never believed. The folder is safe to delete at any time.
It is private, bounded, and not written to where others may write or where the disk is nearly full: the last
room belongs to the walk.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import fields, is_dataclass
from enum import StrEnum
from pathlib import Path
from typing import Any as AnyValue

from kickover import authoring
from kickover.authoring.files import content_version
from kickover.core.problem import KickoverError, SourcePlace
from kickover.model import library as model
from kickover.model.library import Library
from kickover.units import Quantity

MOST_KEPT = 8
LEAST_FREE = 50_000_000
"""With less room than this on the disk, in bytes, nothing is kept."""


def load_cached(folder: Path, cache: Path, *, overlays: Sequence[Path] = ()) -> Library:
    """Load a library by way of the folder `cache`. Raises LibraryError as `load_or_raise` does."""
    file = cache / f"{_key((folder, *overlays))}.json"
    with suppress(OSError, CodecError):
        return from_text(_sound_text(file))
    library = authoring.load_or_raise(folder, overlays=overlays)
    with suppress(OSError):
        _keep(file, to_text(library).encode())
    return library


def _sound_text(file: Path) -> str:
    """The text of a cached library. Raises CodecError when it is not the one that was written."""
    if not _private(file.parent):
        raise CodecError(f"{file.parent}: others may write here")
    checksum, _, raw = file.read_bytes().partition(b"\n")
    if checksum != _checksum(raw):
        raise CodecError(f"{file}: this is damaged")
    return raw.decode()


def _checksum(raw: bytes) -> bytes:
    return hashlib.sha256(raw).hexdigest().encode()


def _private(folder: Path) -> bool:
    return not folder.stat().st_mode & 0o022


def _key(folders: Sequence[Path]) -> str:
    """Name a library by what it is made of: its files, where they are, and the form in which it is kept."""
    parts = [FORM]
    for folder in folders:
        parts += [str(folder.absolute()), content_version(folder)]
    return hashlib.sha256("\n".join(parts).encode()).hexdigest()[:32]


def _keep(file: Path, raw: bytes) -> None:
    """Write a file whole or not at all, and keep only the latest few and no leavings."""
    folder = file.parent
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    if not _private(folder) or shutil.disk_usage(folder).free < LEAST_FREE:
        return
    others = sorted(folder.glob("*.json"), key=lambda path: path.stat().st_mtime, reverse=True)
    for old in [*others[MOST_KEPT - 1 :], *folder.glob("*.part")]:
        old.unlink(missing_ok=True)
    beside = file.with_suffix(f".{os.getpid()}.part")
    try:
        beside.write_bytes(_checksum(raw) + b"\n" + raw)
        beside.replace(file)
    finally:
        beside.unlink(missing_ok=True)


_TUPLE, _SET = "()", "{}"
_TYPES: Mapping[str, type] = {
    known.__name__: known
    for known in (SourcePlace, Quantity, *(getattr(model, name) for name in model.__all__))
    if isinstance(known, type)
}

FORM = hashlib.sha256(
    repr(
        [
            (name, [field.name for field in fields(known)])
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
        return [type(value).__name__, *(_written(getattr(value, field.name)) for field in fields(value))]
    if isinstance(value, tuple):
        return [_TUPLE, *map(_written, value)]
    if isinstance(value, frozenset):
        return [_SET, *sorted(value)]
    if isinstance(value, Mapping):
        return {key: _written(part) for key, part in value.items()}
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
        return {key: _read(part) for key, part in value.items()}
    return value
