"""`kickover list`: what the library holds, by kind."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

import click

from kickover.cli.completing import names_of
from kickover.cli.context import folded, json_option, library_option, open_library, print_json
from kickover.core.ids import EventId
from kickover.documents.reference.entry_page import observed
from kickover.documents.reference.finding import about
from kickover.formulas import registry
from kickover.model.graph import event_graph
from kickover.model.library import CheckKind, Library

Row = dict[str, Any]

MOST_NAMED = 8
"""How many ids the printed list of sources names in a row."""


def complaints(library: Library) -> Iterable[Row]:
    """What riders report."""
    for complaint in library.complaints.values():
        yield {"id": complaint.id, "title": complaint.title, "words": list(complaint.words)}


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
    for check in library.checks.values():
        findings = [finding.id for finding in check.findings]
        yield {
            "id": check.id,
            "title": check.title,
            "kind": check.kind.value,
            "minutes": check.needs.minutes,
            "waiting": check.needs.waiting,
            "findings": findings,
        }


def repairs(library: Library) -> Iterable[Row]:
    """Repairs, roadside and proper."""
    for repair in library.repairs.values():
        yield {
            "id": repair.id,
            "title": repair.title,
            "roadside": repair.roadside,
            "minutes": repair.needs.minutes,
            "waiting": repair.needs.waiting,
            "cures": list(repair.cures),
        }


def machines(library: Library) -> Iterable[Row]:
    """Machine profiles."""
    for machine in library.machines.values():
        yield {
            "id": machine.id,
            "title": machine.title,
            "traits": sorted(machine.traits),
            "invented": machine.invented,
        }


def figures(_library: Library) -> Iterable[Row]:
    """Formulas of the field, for `kickover figure`."""
    for one in registry().values():
        yield {"id": one.name, "title": one.title, "unit": one.result_unit, "source": one.source}


def kits(library: Library) -> Iterable[Row]:
    """Kits of tools and spares."""
    for kit in library.kits.values():
        yield {"id": kit.id, "title": kit.title, "items": sorted(kit.items)}


def items(library: Library) -> Iterable[Row]:
    """Tools and spares, with what they weigh, take up and cost."""
    for item in library.items.values():
        yield {
            "id": item.id,
            "title": item.title,
            "spare": item.spare,
            "grams": item.grams,
            "litres": item.litres,
            "price": item.price,
            "serves_as": list(item.serves_as),
        }


def lessons(library: Library) -> Iterable[Row]:
    """Lessons, for `kickover drill`."""
    for lesson in library.lessons.values():
        yield {"id": lesson.id, "title": lesson.title, "level": lesson.level, "machine": lesson.machine}


def situations(library: Library) -> Iterable[Row]:
    """House events for `--given`."""
    for house in library.houses.values():
        yield {"id": house.id, "title": house.title}


def sources(library: Library) -> Iterable[Row]:
    """Sources, and what rests on each: causes with their rates, checks, repairs, cautions and figures."""
    groups: Mapping[str, Mapping[Any, Any]] = {
        "causes": library.causes,
        "checks": library.checks,
        "repairs": library.repairs,
        "cautions": library.hazards,
        "figures": library.figures,
    }
    for known in library.sources.values():
        rests = {
            kind: [id_ for id_, one in group.items() if known.id in one.sources]
            for kind, group in groups.items()
        }
        yield {
            "id": known.id,
            "title": known.title,
            "kind": known.kind.value,
            "detail": known.detail,
            "rests": {kind: ids for kind, ids in rests.items() if ids},
        }


KINDS: Mapping[str, Callable[[Library], Iterable[Row]]] = {
    "complaints": complaints,
    "causes": causes,
    "checks": checks,
    "repairs": repairs,
    "machines": machines,
    "figures": figures,
    "kits": kits,
    "items": items,
    "lessons": lessons,
    "situations": situations,
    "sources": sources,
}


@click.command(name="list")
@click.argument("kind", type=click.Choice(list(KINDS)))
@click.argument("words", nargs=-1)
@click.option(
    "--tree",
    shell_complete=names_of("trees"),
    metavar="ID",
    help="Only what stands in this tree, or is about it.",
)
@click.option(
    "--for",
    "complaint",
    shell_complete=names_of("complaints"),
    metavar="COMPLAINT",
    help="Only what stands under this complaint.",
)
@click.option(
    "--kind",
    "check_kind",
    type=click.Choice([one.value for one in CheckKind]),
    help="Only checks of this kind.",
)
@library_option
@json_option
def list_(
    kind: str,
    words: tuple[str, ...],
    tree: str | None,
    complaint: str | None,
    check_kind: str | None,
    library: Path | None,
    as_json: bool,
) -> int:
    """List what the library holds, and the machines of your own; with WORDS, what they are about."""
    loaded = open_library(library)
    known = loaded.with_own_machines
    rows = list(KINDS[kind](known))
    tops = (*((loaded.complaint(complaint),) if complaint else ()), *(loaded.tree(tree).tops if tree else ()))
    if tops:
        if kind not in UNDER:
            raise click.UsageError(f"{kind} stand in no tree; --tree and --for take {', '.join(UNDER)}")
        below = event_graph(known).below(tops)
        rows = [row for row in rows if not below.isdisjoint(UNDER[kind](known, row["id"]))]
    if check_kind:
        if kind != "checks":
            raise click.UsageError("--kind is of checks alone")
        rows = [row for row in rows if row["kind"] == check_kind]
    if words:
        told = {
            row["id"]: " ".join((row["title"], row["id"].replace("-", " "), *row.get("words", ())))
            for row in rows
        }
        places = {id_: place for place, id_ in enumerate(about(" ".join(words), told))}
        rows = sorted((row for row in rows if row["id"] in places), key=lambda row: places[row["id"]])
    if as_json:
        print_json(rows)
        return 0
    for line in SHOWN.get(kind, _plain)(rows):
        click.echo(line)
    click.echo(f"{len(rows)} {kind}")
    return 0


UNDER: Mapping[str, Callable[[Library, Any], Iterable[EventId]]] = {
    "complaints": lambda _, id_: (id_,),
    "causes": lambda _, id_: (id_,),
    "checks": lambda library, id_: observed(library.checks[id_]),
    "repairs": lambda library, id_: library.repairs[id_].cures,
}
"""Of each kind that stands in the tree, the events that an entry of it is about."""


def _plain(rows: Sequence[Row]) -> Iterable[str]:
    width = max((len(row["id"]) for row in rows), default=0)
    for row in rows:
        yield f"{row['id']:<{width}}  {row['title']}"


def _with_what_rests(rows: Sequence[Row]) -> Iterable[str]:
    """Each source with its kind and what rests on it; the first few ids of long lists."""
    for row in rows:
        yield f"{row['id']}  [{row['kind']}]"
        yield from folded(row["title"], "  ")
        yield from folded(row["detail"], "  ")
        for kind, ids in row["rests"].items():
            named = ", ".join(ids[:MOST_NAMED])
            more = len(ids) - MOST_NAMED
            tail = f" and {more} more (--json names them all)" if more > 0 else ""
            yield from folded(f"{kind} ({len(ids)}): {named}{tail}", "    ")
        if not row["rests"]:
            yield "    nothing yet"


SHOWN: Mapping[str, Callable[[Sequence[Row]], Iterable[str]]] = {"sources": _with_what_rests}
