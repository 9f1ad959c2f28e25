"""Which files a library is made of, and their bytes.

A library is every `*.yaml` below one folder. Links that lead out of it, files that are no plain files, and
folders without end are refused, as problems.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from pathlib import Path

from kickover.library.source import MOST_BYTES, Document, read_document
from kickover.problem import Place, Problem

MOST_ENTRIES = 20_000
MOST_BYTES_IN_ALL = 60_000_000


def read_folder(folder: Path) -> tuple[tuple[Document, ...], tuple[Problem, ...]]:
    """Read every file of a library, in the order of their names; give also what is wrong with the folder."""
    paths, problems = _find(folder)
    documents = []
    left = MOST_BYTES_IN_ALL
    for path in paths:
        match read_bytes(path):
            case bytes() as raw if len(raw) > left:
                mend = "name a folder that holds a library only"
                problems.append(
                    _about(folder, f"the files come to more than {MOST_BYTES_IN_ALL} bytes", mend)
                )
                break
            case bytes() as raw:
                left -= len(raw)
                documents.append(read_document(raw, str(path)))
            case Problem() as problem:
                documents.append(Document(str(path), None, (problem,)))
    if not paths and not problems:
        problems = [
            _about(folder, "there is no YAML file in this folder", "name a folder that holds `*.yaml` files")
        ]
    return tuple(documents), tuple(problems)


def read_overlay(path: Path) -> tuple[tuple[Document, ...], tuple[Problem, ...]]:
    """Read an overlay: a folder of files like a library, or a single file."""
    if not path.is_file():
        return read_folder(path)
    match read_bytes(path):
        case bytes() as raw:
            return (read_document(raw, str(path)),), ()
        case Problem() as problem:
            return (), (problem,)


def read_bytes(path: Path) -> bytes | Problem:
    """Give the bytes of a plain file, at most one more than is read of a file, or the problem with it."""
    try:
        if not path.is_file():
            kind = "no plain file" if path.exists() else "not there"
            return _about(path, f"the file is {kind}", "name a YAML file")
        with path.open("rb") as stream:
            return stream.read(MOST_BYTES + 1)
    except OSError as error:
        return _about(
            path, f"the file cannot be read ({error.strerror})", "give yourself the right to read it"
        )


def content_version(folder: Path) -> str:
    """Give the SHA-256 of the library's files: their names and their bytes, in the order of the names.

    `folder` may also be the single file of an overlay.
    """
    digest = hashlib.sha256()
    for path in [folder] if folder.is_file() else _find(folder)[0]:
        raw = read_bytes(path)
        content = raw if isinstance(raw, bytes) else b""
        name = path.relative_to(folder).as_posix().encode()
        digest.update(b"%d %s %d\n" % (len(name), name, len(content)))
        digest.update(content)
    return digest.hexdigest()


def shipped_folder() -> Path:
    """Find the library that comes with the program: inside the installed package, or in a source checkout."""
    package = Path(__file__).resolve().parents[1]
    installed = package / "faults"
    return installed if installed.is_dir() else package.parents[1] / "faults"


def _find(folder: Path) -> tuple[list[Path], list[Problem]]:
    if not folder.is_dir():
        kind = "not a folder" if folder.exists() else "not there"
        return [], [_about(folder, f"the folder is {kind}", "name a folder that holds `*.yaml` files")]
    home = folder.resolve()
    found: list[Path] = []
    problems: list[Problem] = []
    for count, entry in enumerate(_entries(folder, problems)):
        if count >= MOST_ENTRIES:
            problems.append(
                _about(
                    folder,
                    f"the folder holds more than {MOST_ENTRIES} files",
                    "name a folder that holds a library only",
                )
            )
            return [], problems
        if entry.suffix == ".yml":
            problems.append(
                _about(entry, "only names that end in `.yaml` are read", f"rename it to {entry.stem}.yaml")
            )
        elif entry.suffix == ".yaml":
            if entry.is_symlink() and not entry.resolve().is_relative_to(home):
                problems.append(
                    _about(entry, "this link leads out of the folder", "copy the file here instead")
                )
            else:
                found.append(entry)
    return sorted(found, key=lambda path: path.relative_to(folder).as_posix()), problems


def _entries(folder: Path, problems: list[Problem]) -> Iterator[Path]:
    def refuse(error: OSError) -> None:
        where = Path(str(error.filename))
        problems.append(
            _about(
                where, f"the folder cannot be read ({error.strerror})", "give yourself the right to read it"
            )
        )

    for here, folders, files in os.walk(folder, onerror=refuse):
        visible = sorted(name for name in folders if not name.startswith("."))
        linked = [Path(here) / name for name in visible if (Path(here) / name).is_symlink()]
        problems += (
            _about(link, "links to folders are not followed", "copy the folder here instead")
            for link in linked
        )
        folders[:] = visible
        for name in files:
            if not name.startswith("."):
                yield Path(here) / name
        yield from (Path(here) / name for name in visible)


def _about(path: Path, message: str, mend: str) -> Problem:
    return Problem(Place(str(path), 1), "", message, mend)
