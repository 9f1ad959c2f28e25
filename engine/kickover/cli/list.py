"""`kickover list`: what the library holds, by kind."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Any

import click

from kickover.api import load
from kickover.cli.options import json_option, library_option, print_json
from kickover.figures import registry
from kickover.library.model import Library

Row = dict[str, Any]


def complaints(library: Library) -> Iterable[Row]:
    """What riders report."""
    for one in library.complaints.values():
        yield {"id": one.id, "title": one.title, "words": list(one.words)}


def causes(library: Library) -> Iterable[Row]:
    """Faults, with their rate and what cures them."""
    cures: dict[str, list[str]] = {}
    for repair in library.repairs.values():
        for cause in repair.cures:
            cures.setdefault(cause, []).append(repair.id)
    for one in library.causes.values():
        yield {"id": one.id, "title": one.title, "rate": one.rate, "repairs": cures.get(one.id, [])}


def checks(library: Library) -> Iterable[Row]:
    """Questions and measurements, with their findings."""
    for one in library.checks.values():
        findings = [finding.id for finding in one.findings]
        yield {
            "id": one.id,
            "title": one.title,
            "kind": one.kind.value,
            "minutes": one.needs.minutes,
            "findings": findings,
        }


def repairs(library: Library) -> Iterable[Row]:
    """Repairs, roadside and proper."""
    for one in library.repairs.values():
        yield {
            "id": one.id,
            "title": one.title,
            "roadside": one.roadside,
            "minutes": one.needs.minutes,
            "cures": list(one.cures),
        }


def machines(library: Library) -> Iterable[Row]:
    """Machine profiles."""
    for one in library.machines.values():
        yield {"id": one.id, "title": one.title, "traits": sorted(one.traits), "invented": one.invented}


def figures(_library: Library) -> Iterable[Row]:
    """Formulas of the field, for `kickover figure`."""
    for one in registry().values():
        yield {"id": one.name, "title": one.title, "unit": one.result_unit, "source": one.source}


def kits(library: Library) -> Iterable[Row]:
    """Kits of tools and spares."""
    for one in library.kits.values():
        yield {"id": one.id, "title": one.title, "items": sorted(one.items)}


def situations(library: Library) -> Iterable[Row]:
    """House events for `--given`."""
    for one in library.houses.values():
        yield {"id": one.id, "title": one.title}


def sources(library: Library) -> Iterable[Row]:
    """Sources, and what rests on each."""
    resting: dict[str, list[str]] = {}
    for group in (library.causes, library.checks, library.repairs, library.hazards, library.figures):
        for id_, one in group.items():
            for source in one.sources:
                resting.setdefault(source, []).append(id_)
    for known in library.sources.values():
        yield {
            "id": known.id,
            "title": known.title,
            "kind": known.kind.value,
            "detail": known.detail,
            "rests": resting.get(known.id, []),
        }


KINDS: Mapping[str, Callable[[Library], Iterable[Row]]] = {
    "complaints": complaints,
    "causes": causes,
    "checks": checks,
    "repairs": repairs,
    "machines": machines,
    "figures": figures,
    "kits": kits,
    "situations": situations,
    "sources": sources,
}


@click.command(name="list")
@click.argument("kind", type=click.Choice(list(KINDS)))
@library_option
@json_option
def list_(kind: str, library: Path | None, as_json: bool) -> int:
    """List what the library holds."""
    rows = list(KINDS[kind](load(library).library))
    if as_json:
        print_json(rows)
        return 0
    width = max((len(row["id"]) for row in rows), default=0)
    for row in rows:
        click.echo(f"{row['id']:<{width}}  {row['title']}")
    click.echo(f"{len(rows)} {kind}")
    return 0
