"""Libraries that were found sound, kept so that the next start need not read and review them again.

A cached library is named by the content of its files, so a change makes another one. The folder is safe to
delete at any time, and a file in it that is not what it should be is passed over.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from kickover.library.codec import FORM, CodecError, from_text, to_text
from kickover.library.door import load_or_raise
from kickover.library.files import content_version
from kickover.library.model import Library


def load_cached(folder: Path, cache: Path, *, overlays: Sequence[Path] = ()) -> Library:
    """Load a library by way of the folder `cache`. Raises LibraryError as `load_or_raise` does."""
    file = cache / f"{_key((folder, *overlays))}.json"
    with suppress(OSError, CodecError):
        return from_text(file.read_text(encoding="utf-8"))
    library = load_or_raise(folder, overlays=overlays)
    with suppress(OSError):
        _keep(file, to_text(library))
    return library


def _key(folders: Sequence[Path]) -> str:
    """Name a library by what it is made of: its files, where they are, and the form in which it is kept."""
    parts = [FORM]
    for folder in folders:
        parts += [str(folder.absolute()), content_version(folder)]
    return hashlib.sha256("\n".join(parts).encode()).hexdigest()[:32]


def _keep(file: Path, text: str) -> None:
    """Write a file whole or not at all."""
    file.parent.mkdir(parents=True, exist_ok=True)
    beside = file.with_suffix(f".{os.getpid()}.part")
    beside.write_text(text, encoding="utf-8")
    beside.replace(file)
