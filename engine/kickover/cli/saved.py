"""The walks that are kept on disk, for the commands that name one of them."""

from __future__ import annotations

from pathlib import Path

import click

from kickover.api import Loaded
from kickover.cli.context import kept, open_library
from kickover.core.problem import KickoverError
from kickover.session.journal import JournalError, Record, journals, read


class NoSuchWalkError(KickoverError):
    """A name that fits no saved walk, or several."""


class NoSuchLibraryError(KickoverError):
    """A walk whose library is no longer there."""


def records(folder: Path) -> tuple[tuple[Record, ...], tuple[str, ...]]:
    """The walks in `folder`, latest first, and what is wrong with those that cannot be read."""
    found: list[Record] = []
    troubles: list[str] = []
    for path in journals(folder):
        try:
            found.append(read(path))
        except JournalError as error:
            troubles.append(str(error))
    return tuple(found), tuple(troubles)


def named(folder: Path, name: str) -> Record:
    """The one walk whose name is, or holds, `name`; NoSuchWalkError for none or several."""
    path = Path(name)
    if path.suffix == ".walk" and path.is_file():
        return read(path)
    found, troubles = records(folder)
    fitting = [one for one in found if one.heading.walk == name] or [
        one for one in found if name in one.heading.walk
    ]
    if len(fitting) == 1:
        return fitting[0]
    if not fitting:
        trouble = next((one for one in troubles if name in one), "")
        raise NoSuchWalkError(trouble or f"there is no walk {name!r}; `kickover walks list` shows them")
    names = ", ".join(one.heading.walk for one in fitting)
    raise NoSuchWalkError(f"{name!r} fits several walks: {names}; write more of its name")


def opened_for(record: Record) -> Loaded:
    """The library of a walk with all that was laid over it then; what the command line names goes before it.

    Raises NoSuchLibraryError where its folder is gone; an overlay that is gone is told and left out.
    """
    heading = record.heading
    library = kept("library") or (Path(heading.folder) if heading.folder else None)
    if library is not None and not library.is_dir():
        raise NoSuchLibraryError(
            f"walk {heading.walk} began with {library}, which is gone; name a library with --library"
        )
    there = [overlay for overlay in heading.overlays if Path(overlay).exists()]
    for gone in sorted(set(heading.overlays) - set(there)):
        click.echo(f"Note: {gone} was laid over the library and is gone; it is left out.", err=True)
    return open_library(library, kept("overlay") or there)


def outcome_in_words(record: Record) -> str:
    """How a walk stands."""
    words = {"": "open", "mended": "cured", "found": "found", "given-up": "stopped"}
    return words.get(record.closed, record.closed)


def line_of(record: Record) -> str:
    """A walk in one line."""
    heading = record.heading
    answers = f"{len(record.entries)} answers"
    return f"{heading.walk}  {outcome_in_words(record)}, {heading.machine}, {answers}"
