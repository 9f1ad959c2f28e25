"""Which files a library is made of, and their bytes.

A library is every `*.yaml` below one folder. Links that lead out of it, files that are no plain files, and
folders without end are refused, as problems.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator, Mapping
from pathlib import Path

from kickover.core.problem import Problem, SourcePlace

MOST_ENTRIES = 20_000
MOST_BYTES = 2_000_000


def read_bytes(path: Path) -> bytes | Problem:
    """Give the bytes of a plain file, at most one more than is read of a file, or the problem with it."""
    try:
        if not path.is_file():
            kind = "no plain file" if path.exists() else "not there"
            return about(path, f"the file is {kind}", "name a YAML file")
        with path.open("rb") as stream:
            return stream.read(MOST_BYTES + 1)
    except OSError as error:
        return about(
            path, f"the file cannot be read ({error.strerror})", "give yourself the right to read it"
        )


def content_version(folder: Path) -> str:
    """Give the SHA-256 of the library's files: their names and their bytes, in the order of the names.

    `folder` may also be the single file of an overlay.
    """
    digest = hashlib.sha256()
    for path in [folder] if folder.is_file() else library_files(folder)[0]:
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


def starter_files() -> Mapping[str, bytes]:
    """The files, by name, of the small library that a new one is begun with."""
    folder = Path(__file__).resolve().parent / "starter"
    return {path.name: path.read_bytes() for path in sorted(folder.glob("*.yaml"))}


def library_files(folder: Path) -> tuple[list[Path], list[Problem]]:
    """Find the files of a library, in the order of their names, and what is wrong with the folder."""
    if not folder.is_dir():
        kind = "not a folder" if folder.exists() else "not there"
        return [], [about(folder, f"the folder is {kind}", "name a folder that holds `*.yaml` files")]
    home = folder.resolve()
    found: list[Path] = []
    problems: list[Problem] = []
    for count, entry in enumerate(_entries(folder, problems)):
        if count >= MOST_ENTRIES:
            problems.append(
                about(
                    folder,
                    f"the folder holds more than {MOST_ENTRIES} files",
                    "name a folder that holds a library only",
                )
            )
            return [], problems
        if entry.suffix == ".yml":
            problems.append(
                about(entry, "only names that end in `.yaml` are read", f"rename it to {entry.stem}.yaml")
            )
        elif entry.suffix == ".yaml":
            if entry.is_symlink() and not entry.resolve().is_relative_to(home):
                problems.append(
                    about(entry, "this link leads out of the folder", "copy the file here instead")
                )
            else:
                found.append(entry)
    return sorted(found, key=lambda path: path.relative_to(folder).as_posix()), problems


def _entries(folder: Path, problems: list[Problem]) -> Iterator[Path]:
    def refuse(error: OSError) -> None:
        where = Path(str(error.filename))
        problems.append(
            about(
                where, f"the folder cannot be read ({error.strerror})", "give yourself the right to read it"
            )
        )

    for here, folders, files in os.walk(folder, onerror=refuse):
        visible = sorted(name for name in folders if not name.startswith("."))
        linked = [Path(here) / name for name in visible if (Path(here) / name).is_symlink()]
        problems += (
            about(link, "links to folders are not followed", "copy the folder here instead")
            for link in linked
        )
        folders[:] = visible
        for name in files:
            if not name.startswith("."):
                yield Path(here) / name
        yield from (Path(here) / name for name in visible)


def about(path: Path, message: str, hint: str) -> Problem:
    """A problem with a file or folder as a whole."""
    return Problem(SourcePlace(str(path), 1), "", message, hint)
