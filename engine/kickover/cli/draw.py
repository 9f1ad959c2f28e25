"""`kickover draw`: pictures of the library's fault trees, and charts of what to do."""

from __future__ import annotations

from itertools import chain
from pathlib import Path

import click

from kickover.cli.completing import names_of
from kickover.cli.context import form_of, json_option, library_option, open_library, print_json, today
from kickover.cli.draw_chart import booklet, chart, date_in_words, draw_charts
from kickover.core.atomic_file import write_file
from kickover.documents.page_layout import STANDING
from kickover.documents.page_output import pages_pdf
from kickover.documents.renderer import FORMATS, bundled_dot, render
from kickover.documents.trees.fault_tree import draw_tree
from kickover.documents.trees.tree_gallery import all_trees, renew
from kickover.documents.trees.tree_pages import tree_pages

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
@click.option("--paper", type=click.Choice(list(STANDING)), default="a4", show_default=True,
              help="For PDF, which has a page for each branch.")  # fmt: skip
@library_option
@json_option
def tree(
    name: str,
    machine: str | None,
    output: Path | None,
    paper: str,
    library: Path | None,
    as_json: bool,
) -> None:
    """Draw the fault tree NAME: a tree of the library, a complaint, or any event.

    PDF has all of it, a page for each branch, with an index of the causes. On a picture, what is too large
    ends in a triangle with the name under which it can be drawn.
    """
    form = form_of(output, PICTURE_FORMATS) if output else "dot"
    loaded = open_library(library)
    profile = loaded.machine(machine) if machine else None
    picture = draw_tree(loaded.library, name, profile)
    if output and form == "pdf":
        printed = tree_pages(loaded.library, name, profile, paper, date_in_words(today()))
        write_file(output, pages_pdf(printed.pages, printed.title))
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
