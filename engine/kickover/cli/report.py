"""`kickover report`: a walk as a report on paper, on a page, or as text."""

from __future__ import annotations

from pathlib import Path

import click

from kickover.cli.completing import walk_names
from kickover.cli.context import library_option, walks_folder
from kickover.cli.saved import named, opened_for
from kickover.core.problem import KickoverError
from kickover.documents.report_html import as_html
from kickover.documents.report_markdown import as_markdown
from kickover.documents.report_pdf import PAPERS, report_pdf
from kickover.documents.walk_report import report_of
from kickover.session.restoring import restored

KINDS = (".md", ".html", ".pdf")


class ReportFileError(KickoverError):
    """A report that cannot be written where it was wanted."""


@click.command()
@click.argument("walk", shell_complete=walk_names)
@click.option("-o", "--output", type=click.Path(path_type=Path), help="The file: .md, .html or .pdf.")
@click.option("--paper", type=click.Choice(list(PAPERS)), default="a4", show_default=True, help="For PDF.")
@library_option
def report(walk: str, output: Path | None, paper: str, library: Path | None) -> int:
    """Write a report of WALK; without a file, print it as text."""
    if output is not None and output.suffix.lower() not in KINDS:
        raise click.UsageError(f"{output}: a report ends in {', '.join(KINDS)}")
    record = named(walks_folder(), walk)
    made = report_of(record, restored(record, opened_for(record, library).library))
    if output is None:
        click.echo(as_markdown(made), nl=False)
        return 0
    match output.suffix.lower():
        case ".pdf":
            content = report_pdf(made, paper)
        case ".html":
            content = as_html(made).encode()
        case _:
            content = as_markdown(made).encode()
    try:
        output.write_bytes(content)
    except OSError as error:
        raise ReportFileError(f"{output} cannot be written ({error.strerror}); give another file") from None
    click.echo(f"Wrote {output}")
    return 0
