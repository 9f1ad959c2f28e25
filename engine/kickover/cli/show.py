"""`kickover show`: all that is known of one thing of the library, named by its id or in one's own words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict
from pathlib import Path

import click

from kickover.cli.completing import names_of
from kickover.cli.context import folded, json_option, library_option, open_library, print_json
from kickover.core.near_names import nearest
from kickover.core.problem import KickoverError
from kickover.documents.reference.entry_page import EntryPage, entries, entry_pages
from kickover.documents.reference.finding import about

MOST = 12
"""So many entries that words fit are named."""


class NothingFoundError(KickoverError):
    """A name, or words, that fit nothing in the library."""


@click.command()
@click.argument("name", shell_complete=names_of("entries"), nargs=-1, required=True, metavar="ID|WORDS")
@click.option(
    "--machine",
    shell_complete=names_of("machines"),
    metavar="NAME|FILE",
    help="Show the limits and figures of this machine.",
)
@library_option
@json_option
def show(name: tuple[str, ...], machine: str | None, library: Path | None, as_json: bool) -> int:
    """Show all that is known of a complaint, cause, check, repair, machine, figure, item and so on.

    ID is a name of the library or of a formula; anything else is taken as your own words.
    """
    loaded = open_library(library)
    known = loaded.with_own_machines
    on = loaded.machine(machine) if machine else None
    words = " ".join(name)
    titles = {id_: one.title for group in entries(known).values() for id_, one in group.items()}
    found = (words,) if words in titles else _fitting(words, titles)
    pages = [page for id_ in found[:MOST] for page in entry_pages(known, id_, on)]
    if as_json:
        print_json([asdict(page) for page in pages])
    elif len(found) > 1:
        click.echo(f"{words!r} fits these; show one by its id:")
        for page in pages:
            click.echo(f"  {page.kind:10} {page.id}: {page.title}")
    else:
        click.echo("\n\n".join("\n".join(page_lines(page)) for page in pages))
    return 0


def _fitting(words: str, titles: Mapping[str, str]) -> tuple[str, ...]:
    """The ids that words fit. Raises NothingFoundError with the nearest name where there are none."""
    near = nearest(words, titles)
    found = about(words, {id_: f"{title} {id_.replace('-', ' ')}" for id_, title in titles.items()})
    if " " not in words and "-" in words and near:
        found = ()
    if not found:
        hint = f"did you mean {near!r}?" if near else "`kickover list` finds things by words"
        raise NothingFoundError(f"there is nothing called {words!r}; {hint}")
    return found


def page_lines(page: EntryPage) -> Iterator[str]:
    """A page as lines for the terminal."""
    yield from folded(f"{page.title} ({page.kind} {page.id})", "")
    for part in page.parts:
        yield ""
        if part.title:
            yield from folded(part.title, "")
        for line in part.lines:
            yield from folded(line, "  ") if part.title else (line,)
