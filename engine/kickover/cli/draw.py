"""`kickover draw`: pictures of the library's fault trees, and charts of what to do."""

from __future__ import annotations

from itertools import chain
from pathlib import Path

import click

from kickover.cli.completing import names_of
from kickover.cli.context import form_of, json_option, library_option, open_library, print_json, today
from kickover.cli.draw_chart import booklet, chart, date_in_words, draw_charts
from kickover.core.atomic_file import write_file
from kickover.documents.paper import PAPERS
from kickover.documents.renderer import FORMATS, bundled_dot, render
from kickover.documents.trees.fault_tree import draw_tree
from kickover.documents.trees.tree_gallery import all_trees, renew
from kickover.documents.trees.tree_sheets import tree_pdf

PICTURE_FORMATS = FORMATS


@click.group()
def draw() -> None:
    """Draw fault trees and charts."""


draw.add_command(chart)
draw.add_command(booklet)


@draw.command()
@click.argument("name")
@click.option(
    "--machine",
    shell_complete=names_of("machines"),
    metavar="NAME|FILE",
    help="Leave out what this machine cannot have.",
)
@click.option("-o", "--output", type=click.Path(path_type=Path), metavar="FILE.svg|pdf|png|dot",
              help="Write a picture; without it the DOT text is printed.")  # fmt: skip
@click.option("--paper", type=click.Choice(list(PAPERS)),
              help="For PDF: cut into sheets of this paper, instead of one large page.")  # fmt: skip
@library_option
@json_option
def tree(
    name: str,
    machine: str | None,
    output: Path | None,
    paper: str | None,
    library: Path | None,
    as_json: bool,
) -> None:
    """Draw the fault tree NAME: a tree of the library, a complaint, or any event.

    What is too large for one picture ends in a triangle with the name under which it can be drawn.
    """
    form = form_of(output, PICTURE_FORMATS) if output else "dot"
    loaded = open_library(library)
    picture = draw_tree(loaded.library, name, loaded.machine(machine) if machine else None)
    if output and form == "pdf" and paper:
        version = f"{loaded.library.title}, version {loaded.library.version}"
        title = f"Fault tree: {picture.subject.title}"
        printed = date_in_words(today())
        write_file(output, tree_pdf(render(picture.dot, "svg"), title, version, printed, paper))
    elif output:
        write_file(output, render(picture.dot, form))
    if as_json:
        print_json(
            {
                "name": picture.subject.name,
                "title": picture.subject.title,
                "machine": machine,
                "goes_on_in": list(picture.transfers),
                "file": str(output) if output else None,
                "dot": picture.dot,
            }
        )
    elif output is None:
        click.echo(picture.dot, nl=False)


@draw.command(name="all")
@click.argument("folder", type=click.Path(exists=True, file_okay=False, path_type=Path))
@click.option(
    "--machine",
    "machines",
    shell_complete=names_of("machines"),
    multiple=True,
    metavar="NAME",
    help="Charts of these machines too.",
)
@click.option("--complaint", "complaints", multiple=True, metavar="NAME", help="Only these complaints.")
@library_option
def all_(folder: Path, machines: tuple[str, ...], complaints: tuple[str, ...], library: Path | None) -> None:
    """Draw the trees of the library into FOLDER, and page 1 and the card of complaints on machines.

    The program from pip draws the trees, so that they are the same whoever draws them.
    """
    loaded = open_library(library)
    for name in chain(renew(folder, all_trees(loaded.library), bundled_dot()),
                      draw_charts(loaded, folder, machines, complaints)):  # fmt: skip
        click.echo(name)
