"""`kickover service`: what to do before a ride and by hours on one machine, to read or to print."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

import click

from kickover.cli.context import form_of, json_option, library_option, open_library, print_json, today
from kickover.core.atomic_file import write_file
from kickover.documents.paper import PAPERS
from kickover.packing.checklist import checklist
from kickover.packing.checklist_pdf import checklist_pdf
from kickover.packing.checklist_text import markdown, text_lines

FORMATS = ("pdf", "md")


@click.command()
@click.option("--machine", required=True, metavar="NAME|FILE", help="The machine that is looked after.")
@click.option("-o", "--output", type=click.Path(path_type=Path), metavar="FILE.pdf|md",
              help="Write it to print or to keep; without it, it is shown.")  # fmt: skip
@click.option("--paper", type=click.Choice(list(PAPERS)), default="a4", show_default=True, help="For a PDF.")
@click.option("--date", metavar="DATE", help="The date to print on it; today's is usual.")
@library_option
@json_option
def service(
    machine: str, output: Path | None, paper: str, date: str | None, library: Path | None, as_json: bool
) -> int:
    """List what to look over before every ride and by hours, with the machine's own figures."""
    form = form_of(output, FORMATS) if output else ""
    loaded = open_library(library)
    made = checklist(loaded.library, loaded.machine(machine))
    if output and form == "pdf":
        write_file(output, checklist_pdf(made, date or today().isoformat(), paper))
    elif output:
        write_file(output, markdown(made).encode())
    if as_json:
        print_json({**asdict(made), "file": str(output) if output else None})
    elif output is None:
        for line in text_lines(made):
            click.echo(line)
    return 0
