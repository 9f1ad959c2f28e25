"""`kickover walks`: the walks that are kept: list them, show one, delete one."""

from __future__ import annotations

import click

from kickover.cli import options
from kickover.cli.completing import walk_names
from kickover.cli.context import walks_folder
from kickover.cli.output import answer, json_option
from kickover.cli.saved import line_of, named, opened_for, outcome_in_words, records
from kickover.core.problem import KickoverError
from kickover.documents.report_markdown import as_markdown
from kickover.documents.walk_report import report_of
from kickover.session.journal import SUFFIX, Record, journals
from kickover.session.journal import delete as delete_journal
from kickover.session.restoring import restored


@click.group()
def walks() -> None:
    """List, show or delete the walks that are kept."""


@walks.command(name="list")
@json_option
def list_() -> int:
    """List the walks that are kept, latest first."""
    found, troubles = records(walks_folder())
    answer([_data(one) for one in found], (*map(line_of, found), f"{len(found)} walks"))
    for trouble in troubles:
        click.echo(trouble, err=True)
    return 1 if troubles else 0


def _data(record: Record) -> dict[str, str | int]:
    heading = record.heading
    return {
        "id": heading.walk,
        "title": ", ".join(heading.complaints),
        "machine": heading.machine,
        "started": heading.started,
        "state": outcome_in_words(record),
        "answers": len(record.entries),
    }


@walks.command()
@click.argument("walk", shell_complete=walk_names)
@options.library
def show(walk: str) -> None:
    """Show a walk: what was found, what was done, how it ended."""
    record = named(walks_folder(), walk)
    made = report_of(record, restored(record, opened_for(record).library))
    answer(None, as_markdown(made).splitlines())


@walks.command()
@click.argument("walk", shell_complete=walk_names)
@click.option("--yes", is_flag=True, help="Do not ask.")
def delete(walk: str, yes: bool) -> int:
    """Delete a walk for good."""
    spoilt = walks_folder() / f"{walk.removesuffix(SUFFIX)}{SUFFIX}"
    try:
        record = named(walks_folder(), walk)
        path, title = record.path, line_of(record)
    except KickoverError:
        if spoilt not in journals(walks_folder()):
            raise
        path, title = spoilt, f"{spoilt.name}, which cannot be read"
    if not yes and not click.confirm(f"Delete {title}?"):
        click.echo("Kept.")
        return 1
    delete_journal(path)
    click.echo(f"Deleted {path.stem}.")
    return 0
