"""`kickover draw`: pictures of the library's fault trees, and charts of what to do."""

from __future__ import annotations

from itertools import chain
from pathlib import Path

import click

from kickover.cli.context import form_of, json_option, library_option, open_library, print_json, today
from kickover.cli.draw_chart import chart, date_in_words
from kickover.cli.progress import Counter
from kickover.core.atomic_file import write_file
from kickover.documents.charts.chart_gallery import renew_charts, stale_charts
from kickover.documents.paper import PAPERS
from kickover.documents.renderer import FORMATS, bundled_dot, render
from kickover.documents.trees.fault_tree import draw_tree
from kickover.documents.trees.tree_gallery import all_trees, renew, stale
from kickover.documents.trees.tree_sheets import tree_pdf

PICTURE_FORMATS = FORMATS


@click.group()
def draw() -> None:
    """Draw fault trees and charts."""


draw.add_command(chart)


@draw.command()
@click.argument("name")
@click.option("--machine", metavar="NAME|FILE", help="Leave out what this machine cannot have.")
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
@click.option("--check", is_flag=True, help="Only tell which pictures are out of date; 1 when any is.")
@library_option
@json_option
def all_(folder: Path, check: bool, library: Path | None, as_json: bool) -> int:
    """Draw the trees of the library, and a chart of every complaint, into FOLDER: what is out of date.

    The program from pip draws them, so that they are the same whoever draws them.
    """
    known = open_library(library).library
    wanted = all_trees(known)
    names: list[str] = []
    if check:
        names += (*stale(folder, wanted), *stale_charts(folder, known))
    else:
        with Counter("positions worked out") as counter:
            drawn = chain(
                renew(folder, wanted, bundled_dot()),
                renew_charts(folder, known, date_in_words(today()), bundled_dot(), counter.step),
            )
            for name in drawn:
                names.append(name)
                if not as_json:
                    click.echo(name)
    if as_json:
        print_json({"folder": str(folder), "stale" if check else "drawn": names})
    else:
        if check:
            click.echo("".join(f"{name}\n" for name in names), nl=False)
        click.echo(f"{len(names)} {'out of date' if check else 'drawn again'}")
    return 1 if check and names else 0
