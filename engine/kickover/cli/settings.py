"""`kickover settings`: what is taken for options that are not given: shown, and changed."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

import click

from kickover.cli.context import open_library, settings_file
from kickover.cli.output import answer, json_option
from kickover.cli.person_settings import PersonSettings, SettingsError, read_settings
from kickover.core.atomic_file import write_file


@click.command()
@click.argument("values", nargs=-1, metavar="[NAME=VALUE]...")
@json_option
def settings(values: tuple[str, ...]) -> None:
    """Show or change what is taken where an option is not given.

    machine, kit and overlay stand for --machine, --kit and --overlay; units says which come first,
    metric or customary; paper is that of PDF. An empty VALUE puts one back: kickover settings machine=
    """
    file = settings_file()
    kept = read_settings(file)
    if values:
        kept = _changed(kept, values)
        file.parent.mkdir(parents=True, exist_ok=True)
        write_file(file, kept.as_text().encode())
    values_kept = asdict(kept)
    lines = (f"{name:8} {value or 'none'}" for name, value in values_kept.items())
    answer({"file": str(file), **values_kept}, (*lines, f"Kept in {file}"))


def _changed(kept: PersonSettings, values: tuple[str, ...]) -> PersonSettings:
    """The settings with the values, each of which is tried out. Raises a typed error for one that fails."""
    for one in values:
        name, mark, value = (part.strip() for part in one.partition("="))
        if not mark:
            raise SettingsError(f"{one!r} does not read as NAME=VALUE; write for example paper=letter")
        if value and (name == "overlay" or value.endswith((".yaml", ".yml"))):
            value = str(Path(value).expanduser().absolute())
        kept = kept.with_value(name, value)
    loaded = open_library(None, [kept.overlay] if kept.overlay else None)
    if kept.machine:
        loaded.machine(kept.machine)
    if kept.kit:
        loaded.kit(kept.kit)
    return kept
