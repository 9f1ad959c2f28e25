"""What a shell offers when Tab is pressed: names of the library, and those of saved walks.

Nothing is printed here, and nothing goes wrong: a library that cannot be read offers nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

import click
from click.shell_completion import CompletionItem

from kickover.api import Loaded
from kickover.cli.context import kept, open_library, walks_folder
from kickover.core.ids import CheckId
from kickover.core.problem import KickoverError
from kickover.documents.reference.entry_page import entries
from kickover.formulas import registry
from kickover.session.journal import journals

PLACES = {"situations": "houses"}
"""What the model calls the kinds that people call otherwise."""

Offered = Callable[[click.Context, click.Parameter, str], list[CompletionItem]]


def names_of(kind: str) -> Offered:
    """Offer the names of one kind, as `kickover list` calls it, of services, trees, or of all `entries`.

    After `CHECK=` that check's findings are offered, after a comma more complaints.
    """

    def offered(context: click.Context, _parameter: click.Parameter, typed: str) -> list[CompletionItem]:
        loaded = _loaded(context)
        if loaded is None:
            return []
        check, mark, _ = typed.partition("=")
        if kind == "checks" and mark and check in loaded.library.checks:
            findings = loaded.library.checks[CheckId(check)].findings
            return _starting(((f"{check}={one.id}", one.title) for one in findings), typed)
        before, comma, last = typed.rpartition(",") if kind == "complaints" else ("", "", typed)
        after = "=" if kind == "checks" else ""
        named = ((f"{before}{comma}{id_}{after}", title) for id_, title in _named(loaded, kind))
        return _starting(named, f"{before}{comma}{last}")

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


def _named(loaded: Loaded, kind: str) -> Iterator[tuple[str, str]]:
    library = loaded.with_own_machines
    groups = entries(library).values() if kind == "entries" else [getattr(library, PLACES.get(kind, kind))]
    return ((id_, one.title) for group in groups for id_, one in group.items())


def _loaded(context: click.Context) -> Loaded | None:
    try:
        return open_library(kept("library", context), kept("overlay", context) or ())
    except (KickoverError, OSError):
        return None


def _starting(named: Iterable[tuple[str, str]], typed: str) -> list[CompletionItem]:
    return [CompletionItem(name, help=title) for name, title in dict(named).items() if name.startswith(typed)]
