"""What the ending of a drawing's file asks for."""

from __future__ import annotations

from pathlib import Path

import click


def form_of(file: Path, forms: tuple[str, ...]) -> str:
    """The format that a file's name asks for. Raises UsageError when it is none of `forms`."""
    form = file.suffix.lower().removeprefix(".")
    if form not in forms:
        endings = ", ".join(f".{one}" for one in forms)
        raise click.UsageError(f"{file}: cannot tell what to draw; end its name in one of {endings}")
    return form
