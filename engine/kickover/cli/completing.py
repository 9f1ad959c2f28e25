"""What a shell offers when Tab is pressed: names of the library, and those of saved walks.

Nothing is printed here, and nothing goes wrong: a library that cannot be read offers nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from pathlib import Path

import click
from click.shell_completion import CompletionItem

from kickover.api import Loaded
from kickover.cli.context import open_library, walks_folder
from kickover.core.ids import CheckId
from kickover.core.problem import KickoverError
from kickover.documents.reference.entry_page import entries
from kickover.formulas import registry
from kickover.model.library import Library
from kickover.session.journal import journals

Offered = Callable[[click.Context, click.Parameter, str], list[CompletionItem]]

NAMES: Mapping[str, Callable[[Library], Iterable[tuple[str, str]]]] = {
    "complaints": lambda library: ((id_, one.title) for id_, one in library.complaints.items()),
    "machines": lambda library: ((id_, one.title) for id_, one in library.machines.items()),
    "kits": lambda library: ((id_, one.title) for id_, one in library.kits.items()),
    "situations": lambda library: ((id_, one.title) for id_, one in library.houses.items()),
    "checks": lambda library: ((f"{id_}=", one.title) for id_, one in library.checks.items()),
    "repairs": lambda library: ((id_, one.title) for id_, one in library.repairs.items()),
    "items": lambda library: ((id_, one.title) for id_, one in library.items.items()),
    "trees": lambda library: ((id_, one.title) for id_, one in library.trees.items()),
    "lessons": lambda library: ((id_, one.title) for id_, one in library.lessons.items()),
    "services": lambda library: ((id_, one.title) for id_, one in library.services.items()),
    "entries": lambda library: (
        (id_, one.title) for group in entries(library).values() for id_, one in group.items()
    ),
}
"""What is offered of a library, by kind."""


def names_of(kind: str) -> Offered:
    """Offer the names of one kind; after `CHECK=` that check's findings, after a comma more complaints."""

    def offered(context: click.Context, _parameter: click.Parameter, typed: str) -> list[CompletionItem]:
        loaded = _loaded(context)
        if loaded is None:
            return []
        check, mark, _ = typed.partition("=")
        if kind == "checks" and mark and check in loaded.library.checks:
            findings = loaded.library.checks[CheckId(check)].findings
            return _starting(((f"{check}={one.id}", one.title) for one in findings), typed)
        before, comma, last = typed.rpartition(",") if kind == "complaints" else ("", "", typed)
        named = NAMES[kind](loaded.with_own_machines)
        return _starting(((f"{before}{comma}{id_}", title) for id_, title in named), f"{before}{comma}{last}")

    return offered


def formula_names(_context: click.Context, _parameter: click.Parameter, typed: str) -> list[CompletionItem]:
    """Offer the formulas of the field."""
    return _starting(((one.name, one.title) for one in registry().values()), typed)


def walk_names(_context: click.Context, _parameter: click.Parameter, typed: str) -> list[CompletionItem]:
    """Offer the walks that are kept."""
    return _starting(((path.stem, "") for path in journals(walks_folder())), typed)


def complaint_or_walk(context: click.Context, parameter: click.Parameter, typed: str) -> list[CompletionItem]:
    """Offer complaints, or with --resume the walks that are kept."""
    return (walk_names if context.params.get("resume") else names_of("complaints"))(context, parameter, typed)


def _loaded(context: click.Context) -> Loaded | None:
    folder = context.params.get("library")
    try:
        return open_library(Path(folder) if folder else None)
    except (KickoverError, OSError):
        return None


def _starting(named: Iterable[tuple[str, str]], typed: str) -> list[CompletionItem]:
    return [CompletionItem(name, help=title) for name, title in dict(named).items() if name.startswith(typed)]


machine_option = click.option(
    "--machine",
    shell_complete=names_of("machines"),
    required=True,
    help="A machine of the library, or a file of one.",
)
"""The machine that is asked about."""

given_option = click.option(
    "--given",
    shell_complete=names_of("situations"),
    multiple=True,
    metavar="EVENT",
    help="Something that is true of the situation.",
)
"""What is known of the situation from the start, as often as wanted."""
