"""Writes one named file whole, or leaves what was there; it never makes folders and touches nothing else."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path

from kickover.core.problem import KickoverError


class OutputError(KickoverError):
    """A file that cannot be written where it was asked for."""


def write_file(path: Path, data: bytes) -> None:
    """Write `data` to `path` in one move: a reader sees the old file or the new one, never a part.

    Raises OutputError when the folder does not exist, `path` is a folder, or the disk refuses.
    """
    if path.is_dir():
        raise OutputError(f"{path}: is a folder; give the name of a file in it")
    if not path.parent.is_dir():
        raise OutputError(f"{path}: its folder does not exist; make it first, or name another")
    try:
        _replace(path, data)
    except OSError as error:
        raise OutputError(f"{path}: cannot be written: {error.strerror}; choose another place") from error


def _replace(path: Path, data: bytes) -> None:
    handle, name = tempfile.mkstemp(prefix=f".{path.name[:40]}.", suffix=".part", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
        Path(name).chmod(_mode_for(path))
        Path(name).replace(path)
    except BaseException:
        with contextlib.suppress(FileNotFoundError):
            Path(name).unlink()
        raise


def _mode_for(path: Path) -> int:
    if path.exists():
        return path.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
