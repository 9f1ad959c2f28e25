"""`kickover draw chart` and `booklet`: the best chart that fits the paper, and how its steps are done."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import TypedDict, Unpack

import click

from kickover.api import Loaded
from kickover.cli.completing import given_option, names_of
from kickover.cli.context import form_of, json_option, library_option, open_library, print_json, today
from kickover.core.atomic_file import write_file
from kickover.core.ids import ItemId, KitId
from kickover.core.near_names import nearest
from kickover.core.problem import KickoverError, SourcePlace
from kickover.documents.charts.chart import MOST_PAGES, Chart, ChartMaker, steps_of
from kickover.documents.charts.guided_page import guided_page
from kickover.documents.charts.how_to import booklet as booklet_pages
from kickover.documents.charts.how_to import how_to
from kickover.documents.charts.wall_set import PrintedChart, pouch_card, wall_set
from kickover.documents.page_layout import STANDING
from kickover.documents.page_output import page_png, page_svg, pages_pdf
from kickover.model.library import Kit
from kickover.session.session import Session

CHART_FORMS = ("pdf", "svg", "png", "html")
EVERYTHING = "every tool and spare"
STEPS_OF_PAGE = 140
"""So many boxes and rows the page for a phone may have: it weighs nothing in a pouch."""


class MisfitError(KickoverError):
    """A complaint that such a machine cannot have."""


class ChartOptions(TypedDict):
    """The options of the command, as they were given."""

    machine: str
    kit: str | None
    tools: str | None
    given: tuple[str, ...]
    output: Path | None
    paper: str
    pages: int | None
    card: bool
    with_how_to: bool
    library: Path | None
    as_json: bool


_machine_option = click.option(
    "--machine",
    shell_complete=names_of("machines"),
    required=True,
    metavar="NAME|FILE",
    help="A machine of the library, or a file.",
)


@click.command()
@click.argument("complaint", shell_complete=names_of("complaints"))
@_machine_option
@click.option(
    "--kit",
    shell_complete=names_of("kits"),
    metavar="NAME|FILE",
    help="Tools and spares at hand; all of them without it.",
)
@click.option("--tools", metavar="ITEM,ITEM", help="Only these tools and spares, instead of a kit.")
@given_option
@click.option("-o", "--output", type=click.Path(path_type=Path), metavar="FILE.pdf|svg|png|html",
              help="PDF is the whole set, SVG and PNG its first page, HTML for a phone.")  # fmt: skip
@click.option("--paper", type=click.Choice(list(STANDING)), default="a4", show_default=True)
@click.option("--pages", type=click.IntRange(1, MOST_PAGES), help="So many pages; as many as pay without it.")
@click.option("--card", is_flag=True, help="One sheet to fold to eight, for the pouch.")
@click.option("--with-how-to", is_flag=True, help="Add how each of its steps is done.")
@library_option
@json_option
def chart(complaint: str, **options: Unpack[ChartOptions]) -> None:
    """Print the best chart from COMPLAINT (several joined by commas) to its repairs that fits the paper.

    Without a file it says what each number of pages would mend.
    """
    output = options["output"]
    form = form_of(output, CHART_FORMS) if output else ""
    loaded = open_library(options["library"])
    session = begun(loaded, complaint, options)
    maker = ChartMaker(session, _kit_title(loaded, options))
    if output is None:
        _print_weights(maker, options)
        return
    printed = date_in_words(today())
    if options["card"]:
        made = pouch_card(maker, options["paper"], printed)
    else:
        made = wall_set(maker, options["paper"], printed, options["pages"])
    write_file(output, _drawn(maker, made, form, options, printed))
    if options["as_json"]:
        print_json({**_data(made), "complaint": complaint.split(","), "file": str(output)})


def _print_weights(maker: ChartMaker, options: ChartOptions) -> None:
    """What each number of pages mends."""
    printed = date_in_words(today())
    counts = range(1, MOST_PAGES + 1) if options["pages"] is None else [options["pages"]]
    rows = [_data(wall_set(maker, options["paper"], printed, count)) for count in counts]
    if options["as_json"]:
        print_json(rows)
        return
    click.echo("pages  boxes  rows  mended  minutes")
    for row in rows:
        click.echo(
            f"{row['pages']:>5}{row['boxes']:>7}{row['rows']:>6}{row['mended']:>8.0%}{row['minutes']:>9.0f}"
        )
    click.echo("Write one with -o FILE.pdf, .svg, .png or .html.")


def _drawn(maker: ChartMaker, made: PrintedChart, form: str, options: ChartOptions, printed: str) -> bytes:
    """The bytes of a file that shows the chart."""
    session = maker.session
    match form:
        case "svg":
            return page_svg(made.pages[0], made.chart.title, _described(made.chart))
        case "png":
            return page_png(made.pages[0])
        case "html":
            how = how_to(session.library, session.model.machine)
            return guided_page(maker.chart(STEPS_OF_PAGE), how, made.pages, printed)
    pages = made.pages
    if options["with_how_to"]:
        wanted = [id_ for item in steps_of(made.chart) for id_ in (item.check_id, item.repair_id) if id_]
        pages += booklet_pages(session.library, session.model.machine, options["paper"], printed, wanted)
    return pages_pdf(pages, f"{made.chart.title}: {made.chart.machine}")


def _described(chart: Chart) -> str:
    steps = "; ".join(f"{item.label} {item.check or item.repair}" for item in steps_of(chart))
    return f"{chart.machine}. {steps}"


def _data(made: PrintedChart) -> dict[str, object]:
    chart = made.chart
    return {
        "pages": len(made.pages),
        "boxes": len(chart.boxes),
        "rows": sum(len(table.rows) for table in chart.tables),
        "mended": chart.mended,
        "minutes": chart.minutes,
        "planned": chart.planned,
    }


def draw_charts(
    loaded: Loaded, folder: Path, machines: Sequence[str], complaints: Sequence[str]
) -> Iterator[str]:
    """Write page 1 and the card of each complaint on each machine; give the names of the files."""
    for name in machines:
        machine = loaded.machine(name)
        for complaint in complaints or loaded.library.complaints:
            if not machine.fits(loaded.library.complaints[loaded.complaint(complaint)].gate.only_if):
                continue
            maker = ChartMaker(loaded.walk(complaint, machine).session, EVERYTHING)
            printed = f"for library {loaded.library.version.partition('+')[0]}{loaded.library.changes}"
            page = wall_set(maker, "a4", printed, 1)
            card = pouch_card(maker, "a4", printed)
            for kind, made in (("sheet", page), ("card", card)):
                file = f"{complaint}-on-{name}-{kind}.svg"
                write_file(folder / file, page_svg(made.pages[0], made.chart.title, _described(made.chart)))
                yield file


@click.command()
@_machine_option
@click.option("-o", "--output", required=True, type=click.Path(path_type=Path), metavar="FILE.pdf")
@click.option("--paper", type=click.Choice(list(STANDING)), default="a4", show_default=True)
@library_option
def booklet(machine: str, output: Path, paper: str, library: Path | None) -> None:
    """Print how each check and repair of a machine is done, once, for all of its charts."""
    form_of(output, ("pdf",))
    loaded = open_library(library)
    known = loaded.machine(machine)
    pages = booklet_pages(loaded.library, known, paper, date_in_words(today()))
    write_file(output, pages_pdf(pages, f"How to: {known.title}"))


def begun(loaded: Loaded, complaint: str, options: ChartOptions) -> Session:
    """The walk at its start, for what was asked."""
    if options["kit"] and options["tools"]:
        raise click.UsageError("give --kit or --tools, not both")
    names = [part.strip() for part in complaint.split(",")]
    machine = loaded.machine(options["machine"])
    for name in names:
        gate = loaded.library.complaints[loaded.complaint(name)].gate
        if not machine.fits(gate.only_if):
            raise MisfitError(f"{machine.title} cannot have the complaint {name!r}; name another machine")
    kit = options["kit"] if options["tools"] is None else _named_tools(loaded, options["tools"])
    return loaded.walk(names, machine, options["given"], kit).session


def _named_tools(loaded: Loaded, tools: str) -> Kit:
    named = [ItemId(part.strip()) for part in tools.split(",") if part.strip()]
    for one in named:
        if one not in loaded.library.items:
            near = nearest(one, tuple(loaded.library.items))
            hint = f"did you mean {near!r}?" if near else "`kickover list kits --json` shows them"
            raise MisfitError(f"there is no tool or spare called {one!r}; {hint}")
    titles = ", ".join(loaded.library.items[one].title for one in named) or "nothing"
    return Kit(KitId("named"), titles, frozenset(named), SourcePlace("--tools", 0))


def _kit_title(loaded: Loaded, options: ChartOptions) -> str:
    if options["tools"] is not None:
        return _named_tools(loaded, options["tools"]).title
    kit = options["kit"]
    return (
        EVERYTHING
        if not kit
        else loaded.library.kits[KitId(kit)].title
        if kit in loaded.library.kits
        else kit
    )


def date_in_words(day: date) -> str:
    """A date as it is printed: `25 November 2026`."""
    return f"{day.day} {day:%B %Y}"
