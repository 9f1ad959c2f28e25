"""`kickover list`: what the library holds, by kind."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any

import click

from kickover.cli import options
from kickover.cli.context import open_library
from kickover.cli.output import answer, folded, json_option
from kickover.core.ids import EventId
from kickover.documents.reference.entry_page import observed
from kickover.documents.reference.finding import about
from kickover.formulas import registry
from kickover.model.graph import event_graph
from kickover.model.library import CheckKind, Library

Row = dict[str, Any]

MOST_NAMED = 8
"""How many ids the printed list of sources names in a row."""


def _entries(name: str, **more: Callable[[Any], object]) -> Callable[[Library], Iterator[Row]]:
    """The entries of one kind of a library, each with its id, its title and what more is told of it."""

    def rows(library: Library) -> Iterator[Row]:
        for one in getattr(library, name).values():
            yield {"id": one.id, "title": one.title, **{key: read(one) for key, read in more.items()}}

    return rows


def causes(library: Library) -> Iterator[Row]:
    """Faults, with their rate and what cures them."""
    cures: dict[str, list[str]] = {}
    for repair in library.repairs.values():
        for cause in repair.cures:
            cures.setdefault(cause, []).append(repair.id)
    return _entries("causes", rate=lambda one: one.rate, repairs=lambda one: cures.get(one.id, []))(library)


def figures(_library: Library) -> Iterator[Row]:
    """Formulas of the field, for `kickover figure`."""
    for one in registry().values():
        yield {"id": one.name, "title": one.title, "unit": one.result_unit, "source": one.source}


def sources(library: Library) -> Iterator[Row]:
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


_NEEDED: Mapping[str, Callable[[Any], object]] = {
    "minutes": lambda one: one.needs.minutes,
    "waiting": lambda one: one.needs.waiting,
}

KINDS: Mapping[str, Callable[[Library], Iterable[Row]]] = {
    "complaints": _entries("complaints", words=lambda one: list(one.words)),
    "causes": causes,
    "checks": _entries(
        "checks",
        kind=lambda one: one.kind.value,
        **_NEEDED,
        findings=lambda one: [finding.id for finding in one.findings],
    ),
    "repairs": _entries(
        "repairs", roadside=lambda one: one.roadside, **_NEEDED, cures=lambda one: list(one.cures)
    ),
    "machines": _entries(
        "machines", traits=lambda one: sorted(one.traits), invented=lambda one: one.invented
    ),
    "figures": figures,
    "kits": _entries("kits", items=lambda one: sorted(one.items)),
    "items": _entries(
        "items",
        spare=lambda one: one.spare,
        grams=lambda one: one.grams,
        litres=lambda one: one.litres,
        price=lambda one: one.price,
        serves_as=lambda one: list(one.serves_as),
    ),
    "lessons": _entries("lessons", level=lambda one: one.level, machine=lambda one: one.machine),
    "situations": _entries("houses"),
    "sources": sources,
}
"""Each kind with what is told of its entries."""


@click.command(name="list")
@click.argument("kind", type=click.Choice(list(KINDS)))
@click.argument("words", nargs=-1)
@options.name("--tree", "trees", "Only what stands in this tree, or is about it.")
@options.name("--for", "complaints", "Only what stands under this complaint.", "complaint")
@click.option(
    "--kind",
    "check_kind",
    type=click.Choice([one.value for one in CheckKind]),
    help="Only checks of this kind.",
)
@options.library
@json_option
def list_(
    kind: str,
    words: tuple[str, ...],
    tree: str | None,
    complaint: str | None,
    check_kind: str | None,
) -> None:
    """List what the library holds, and the machines of your own; with WORDS, what they are about."""
    loaded = open_library()
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
    answer(rows, (*SHOWN.get(kind, _plain)(rows), f"{len(rows)} {kind}"))


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
