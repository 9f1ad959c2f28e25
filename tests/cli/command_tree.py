"""Every command of the program, found from the tree of commands, with words that make it run on the yard."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import click

from kickover.cli.main import main

WORKING: Mapping[str, tuple[str, ...]] = {
    "walk": ("no-power", "--machine", "moped", "--plain"),
    "walks list": (),
    "walks show": ("WALK",),
    "walks delete": ("WALK", "--yes"),
    "report": ("WALK",),
    "machine list": (),
    "machine new": ("--plain",),
    "machine check": ("FOLDER/machine.yaml",),
    "machine edit": ("moped", "good-pressure=8 bar"),
    "machine show": ("moped",),
    "new library": ("FOLDER/own",),
    "show": ("no-power",),
    "settings": (),
    "schema": (),
    "help": (),
    "rank": ("no-power", "--machine", "moped"),
    "check": (),
    "doctor": (),
    "list": ("machines",),
    "draw all": ("FOLDER", "--machine", "moped", "--complaint", "no-power"),
    "draw booklet": ("--machine", "moped", "-o", "FOLDER/booklet.pdf"),
    "draw chart": ("no-power", "--machine", "moped", "-o", "FOLDER/chart.html"),
    "draw tree": ("no-power",),
    "figure": ("cranking-pressure", "ratio=7", "altitude=1450 m"),
    "drill": ("no-power", "--machine", "moped", "--plain"),
    "pack": ("--machine", "moped", "--grams", "300"),
    "service": ("--machine", "moped", "--date", "2026-03-01"),
    "cases add": ("--machine", "moped", "--complaint", "no-power", "--cause", "chain-loose"),
    "cases list": (),
    "cases show": ("CASE",),
    "cases remove": ("CASE",),
    "cases correct": ("CASE", "--cause", "chain-loose"),
    "cases import": ("IMPORT",),
    "cases export": (),
    "cases undo": ("1",),
    "cases learn": (),
    "evaluate": ("no-power", "--machine", "moped", "--walks", "2", "--jobs", "1"),
}
"""By command; WALK, CASE, FOLDER and IMPORT stand for what a test puts there."""


def commands() -> Iterator[tuple[str, click.Command]]:
    """Each command that does something, with its words."""
    yield from _below(main, click.Context(main), ())


def _below(
    command: click.Command, context: click.Context, words: tuple[str, ...]
) -> Iterator[tuple[str, click.Command]]:
    if not isinstance(command, click.Group):
        yield " ".join(words), command
        return
    for name in command.list_commands(context):
        found = command.get_command(context, name)
        assert found is not None
        yield from _below(found, context, (*words, name))


def words_of(command: str, **places: str) -> list[str]:
    """The words that run a command, with what the test put in the places."""
    words = list(WORKING[command])
    for place, value in places.items():
        words = [word.replace(place, value) for word in words]
    return [*command.split(), *words]
