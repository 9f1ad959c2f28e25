"""`kickover report`: a walk as a report on paper, on a page, or as text."""

from __future__ import annotations

from pathlib import Path

import click

from kickover.cli import options
from kickover.cli.completing import walk_names
from kickover.cli.context import walks_folder
from kickover.cli.output import answer
from kickover.cli.saved import named, opened_for
from kickover.core.atomic_file import write_file
from kickover.documents.report_html import as_html
from kickover.documents.report_markdown import as_markdown
from kickover.documents.report_pdf import report_pdf
from kickover.documents.walk_report import report_of
from kickover.session.restoring import restored


@click.command()
@click.argument("walk", shell_complete=walk_names)
@options.output("md", "html", "pdf", what="Where to write it; without it, it is printed as text.")
@options.paper()
@options.library
def report(walk: str, output: Path | None, paper: str) -> None:
    """Write a report of WALK; without a file, print it as text."""
    record = named(walks_folder(), walk)
    made = report_of(record, restored(record, opened_for(record).library))
    if output is None:
        answer(None, as_markdown(made).splitlines())
        return
    match options.form_of(output):
        case "pdf":
            content = report_pdf(made, paper)
        case "html":
            content = as_html(made).encode()
        case _:
            content = as_markdown(made).encode()
    write_file(output, content)
    click.echo(f"Wrote {output}")
