"""`kickover draw`: pictures of the library's fault trees, and charts of what to do."""

from __future__ import annotations

from itertools import chain
from pathlib import Path

import click

from kickover.cli import options
from kickover.cli.completing import names_of
from kickover.cli.context import open_library, today
from kickover.cli.draw_chart import booklet, chart, date_in_words, draw_charts
from kickover.cli.output import answer, json_option
from kickover.core.atomic_file import write_file
from kickover.documents.page_layout import STANDING
from kickover.documents.page_output import pages_pdf
from kickover.documents.renderer import FORMATS, bundled_dot, render
from kickover.documents.trees.fault_tree import draw_tree
from kickover.documents.trees.tree_gallery import all_trees, renew
from kickover.documents.trees.tree_pages import tree_pages


@click.group()
def draw() -> None:
    """Draw fault trees and charts."""


draw.add_command(chart)
draw.add_command(booklet)


@draw.command()
@click.argument("name", shell_complete=names_of("entries"))
@options.machine()
@options.output(*FORMATS, what="Write a picture; without it the DOT text is printed.")
@options.paper(STANDING)
@options.library
@json_option
def tree(name: str, machine: str | None, output: Path | None, paper: str) -> None:
    """Draw the fault tree NAME: a tree of the library, a complaint, or any event.

    PDF has all of it, a page for each branch, with an index of the causes. On a picture, what is too large
    ends in a triangle with the name under which it can be drawn. With --machine, what that machine cannot
    have is left out.
    """
    loaded = open_library()
    profile = loaded.machine(machine) if machine else None
    picture = draw_tree(loaded.library, name, profile)
    if output and options.form_of(output) == "pdf":
        printed = tree_pages(loaded.library, name, profile, paper, date_in_words(today()))
        write_file(output, pages_pdf(printed.pages, printed.title))
    elif output:
        write_file(output, render(picture.dot, options.form_of(output)))
    data = {
        "name": picture.subject.name,
        "title": picture.subject.title,
        "machine": machine,
        "goes_on_in": list(picture.transfers),
        "file": str(output) if output else None,
        "dot": picture.dot,
    }
    answer(data, [] if output else picture.dot.splitlines())


@draw.command(name="all")
@click.argument("folder", type=click.Path(exists=True, file_okay=False, path_type=Path))
@options.name("--machine", "machines", "Charts of these machines too.", "machines", multiple=True)
@options.name("--complaint", "complaints", "Only these complaints.", "complaints", multiple=True)
@options.library
def all_(folder: Path, machines: tuple[str, ...], complaints: tuple[str, ...]) -> None:
    """Draw the trees of the library into FOLDER, and page 1 and the card of complaints on machines.

    The program from pip draws the trees, so that they are the same whoever draws them.
    """
    loaded = open_library()
    for name in chain(renew(folder, all_trees(loaded.library), bundled_dot()),
                      draw_charts(loaded, folder, machines, complaints)):  # fmt: skip
        click.echo(name)
