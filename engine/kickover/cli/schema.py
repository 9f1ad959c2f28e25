"""`kickover schema`: the form of what the commands print for other programs, as JSON Schema."""

from __future__ import annotations

import json
from collections.abc import Mapping
from importlib.resources import files
from typing import Any

import click

FORMS = (
    "rank",
    "list",
    "show",
    "check",
    "figure",
    "formulas",
    "table",
    "pack",
    "service",
    "service-log",
    "settings",
    "machine",
    "walks",
    "cases",
    "evaluate",
    "lessons",
    "walk",
)


def schema_of(name: str) -> Mapping[str, Any]:
    """The schema of one form of output, by a name of FORMS."""
    data = json.loads(files("kickover.cli").joinpath("schemas", f"{name}.json").read_text(encoding="utf-8"))
    assert isinstance(data, dict)
    return data


@click.command()
@click.argument("name", required=False, type=click.Choice(FORMS))
def schema(name: str | None) -> int:
    """Print the JSON Schema of what a command prints with --json; without NAME, say which there are."""
    if name is None:
        for one in FORMS:
            click.echo(f"{one:11} {schema_of(one)['title']}")
    else:
        click.echo(json.dumps(schema_of(name), ensure_ascii=False, indent=2))
    return 0
