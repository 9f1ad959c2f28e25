"""`kickover show`: all that is known of one thing of the library, named by its id or in one's own words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict

import click

from kickover.cli import options
from kickover.cli.completing import names_of
from kickover.cli.context import open_library
from kickover.cli.output import answer, folded, json_option
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
@options.machine()
@options.library
@json_option
def show(name: tuple[str, ...], machine: str | None) -> None:
    """Show all that is known of a complaint, cause, check, repair, machine, figure, item and so on.

    ID is a name of the library or of a formula; anything else is taken as your own words. With --machine
    the limits and figures are those of that machine.
    """
    loaded = open_library()
    known = loaded.with_own_machines
    on = loaded.machine(machine) if machine else None
    words = " ".join(name)
    titles = {id_: one.title for group in entries(known).values() for id_, one in group.items()}
    found = (words,) if words in titles else _fitting(words, titles)
    pages = [page for id_ in found[:MOST] for page in entry_pages(known, id_, on)]
    answer([asdict(page) for page in pages], _lines(words, len(found) > 1, pages))


def _lines(words: str, several: bool, pages: Sequence[EntryPage]) -> Iterator[str]:
    if several:
        yield f"{words!r} fits these; show one by its id:"
        yield from (f"  {page.kind:10} {page.id}: {page.title}" for page in pages)
        return
    for number, page in enumerate(pages):
        if number:
            yield ""
        yield from page_lines(page)


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
