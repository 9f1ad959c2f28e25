"""`kickover new`: a small library to begin with, commented, that checks clean."""

from __future__ import annotations

from pathlib import Path

import click

from kickover.authoring.files import starter_files
from kickover.core.atomic_file import write_file
from kickover.core.problem import KickoverError


class NewLibraryError(KickoverError):
    """A folder in which no library can be begun."""


@click.group()
def new() -> None:
    """Begin a library of your own."""


@new.command()
@click.argument("folder", type=click.Path(path_type=Path), metavar="DIR")
def library(folder: Path) -> None:
    """Write a small commented library into DIR, which is made, or must be empty."""
    if folder.exists() and not (folder.is_dir() and not any(folder.iterdir())):
        raise NewLibraryError(f"{folder} exists and is not empty; name a folder that is new")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise NewLibraryError(f"{folder} cannot be made ({error.strerror}); name another folder") from None
    for name, text in starter_files().items():
        write_file(folder / name, text)
        click.echo(f"Wrote {folder / name}")
    click.echo(f"Next: kickover check {folder}, then kickover walk --library {folder}")
