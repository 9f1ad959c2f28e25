"""`kickover schema`: the form of what the commands print for other programs, as JSON Schema."""

from __future__ import annotations

import json
from collections.abc import Mapping
from importlib.resources import files
from typing import Any

import click

from kickover.cli.output import print_json

_FILES = files("kickover.cli").joinpath("schemas")

FORMS = tuple(sorted(file.name.removesuffix(".json") for file in _FILES.iterdir()))
"""The names of the forms of output."""


def schema_of(name: str) -> Mapping[str, Any]:
    """The schema of one form of output, by a name of FORMS."""
    data = json.loads(_FILES.joinpath(f"{name}.json").read_text(encoding="utf-8"))
    assert isinstance(data, dict)
    return data


@click.command()
@click.argument("name", required=False, type=click.Choice(FORMS))
def schema(name: str | None) -> None:
    """Print the JSON Schema of what a command prints with --json; without NAME, say which there are."""
    if name is not None:
        print_json(schema_of(name))
        return
    for one in FORMS:
        click.echo(f"{one:11} {schema_of(one)['title']}")
