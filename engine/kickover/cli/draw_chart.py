"""`kickover draw chart` and `booklet`: the best chart that fits the paper, and how its steps are done."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

import click

from kickover.api import Loaded
from kickover.cli import options
from kickover.cli.completing import names_of
from kickover.cli.context import open_library, today
from kickover.cli.output import answer, json_option
from kickover.core.atomic_file import write_file
from kickover.core.ids import KitId
from kickover.core.problem import KickoverError, SourcePlace
from kickover.documents.charts.chart import MOST_PAGES, Chart, ChartMaker, steps_of
from kickover.documents.charts.guided_page import guided_page
from kickover.documents.charts.how_to import booklet as booklet_pages
from kickover.documents.charts.how_to import how_to
from kickover.documents.charts.wall_set import PrintedChart, pouch_card, wall_set
from kickover.documents.page_layout import STANDING, PrintedPage
from kickover.documents.page_output import page_png, page_svg, pages_pdf
from kickover.model.library import Kit
from kickover.session.session import Session

EVERYTHING = "every tool and spare"
STEPS_OF_PAGE = 140
"""So many boxes and rows the page for a phone may have: it weighs nothing in a pouch."""


class MisfitError(KickoverError):
    """A complaint that such a machine cannot have."""


@click.command()
@click.argument("complaint", shell_complete=names_of("complaints"))
@options.machine(required=True)
@options.kit()
@click.option("--tools", metavar="ITEM,ITEM", help="Only these tools and spares, instead of a kit.")
@options.given
@options.output("pdf", "svg", "png", "html",
               what="PDF is the whole set, SVG and PNG its first page, HTML for a phone.")  # fmt: skip
@options.paper(STANDING)
@click.option("--pages", type=click.IntRange(1, MOST_PAGES), help="So many pages; as many as pay without it.")
@click.option("--card", is_flag=True, help="One sheet to fold to eight, for the pouch.")
@click.option("--with-how-to", is_flag=True, help="Add how each of its steps is done.")
@options.library
@json_option
def chart(
    complaint: str,
    machine: str,
    kit: str | None,
    tools: str | None,
    given: tuple[str, ...],
    output: Path | None,
    paper: str,
    pages: int | None,
    card: bool,
    with_how_to: bool,
) -> None:
    """Print the best chart from COMPLAINT (several joined by commas) to its repairs that fits the paper.

    Without a file it says what each number of pages would mend.
    """
    if kit and tools:
        raise click.UsageError("give --kit or --tools, not both")
    loaded = open_library()
    at_hand = loaded.kit(kit) if kit else None if tools is None else _named_tools(loaded, tools)
    session = begun(loaded, complaint, machine, given, at_hand)
    maker = ChartMaker(session, at_hand.title if at_hand else EVERYTHING)
    printed = date_in_words(today())
    if output is None:
        counts = range(1, MOST_PAGES + 1) if pages is None else [pages]
        rows = [_data(wall_set(maker, paper, printed, count)) for count in counts]
        answer(rows, _lines(rows))
        return
    made = pouch_card(maker, paper, printed) if card else wall_set(maker, paper, printed, pages)
    match options.form_of(output):
        case "svg":
            content = page_svg(made.pages[0], made.chart.title, _described(made.chart))
        case "png":
            content = page_png(made.pages[0])
        case "html":
            how = how_to(session.library, session.model.machine)
            content = guided_page(maker.chart(STEPS_OF_PAGE), how, made.pages, printed)
        case _:
            added = _how_to_pages(session, made.chart, paper, printed) if with_how_to else ()
            content = pages_pdf((*made.pages, *added), f"{made.chart.title}: {made.chart.machine}")
    write_file(output, content)
    answer({**_data(made), "complaint": complaint.split(","), "file": str(output)}, [])


def _lines(rows: Iterable[Mapping[str, Any]]) -> Iterator[str]:
    """What each number of pages mends."""
    yield "pages  boxes  rows  mended  minutes"
    for row in rows:
        yield f"{row['pages']:>5}{row['boxes']:>7}{row['rows']:>6}{row['mended']:>8.0%}{row['minutes']:>9.0f}"
    yield "Write one with -o FILE.pdf, .svg, .png or .html."


def _how_to_pages(session: Session, drawn: Chart, paper: str, printed: str) -> tuple[PrintedPage, ...]:
    """How the steps of a chart are done."""
    wanted = [id_ for item in steps_of(drawn) for id_ in (item.check_id, item.repair_id) if id_]
    return booklet_pages(session.library, session.model.machine, paper, printed, wanted)


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
@options.machine(required=True)
@options.output("pdf", what="The file to write.", required=True)
@options.paper(STANDING)
@options.library
def booklet(machine: str, output: Path, paper: str) -> None:
    """Print how each check and repair of a machine is done, once, for all of its charts."""
    loaded = open_library()
    known = loaded.machine(machine)
    pages = booklet_pages(loaded.library, known, paper, date_in_words(today()))
    write_file(output, pages_pdf(pages, f"How to: {known.title}"))


def begun(loaded: Loaded, complaint: str, machine: str, given: tuple[str, ...], kit: Kit | None) -> Session:
    """The walk at its start, for what was asked."""
    names = [part.strip() for part in complaint.split(",")]
    known = loaded.machine(machine)
    for name in names:
        if not known.fits(loaded.library.complaints[loaded.complaint(name)].gate.only_if):
            raise MisfitError(f"{known.title} cannot have the complaint {name!r}; name another machine")
    return loaded.walk(names, known, given, kit).session


def _named_tools(loaded: Loaded, tools: str) -> Kit:
    named = [loaded.item(part.strip()) for part in tools.split(",") if part.strip()]
    titles = ", ".join(loaded.library.items[one].title for one in named) or "nothing"
    return Kit(KitId("named"), titles, frozenset(named), SourcePlace("--tools", 0))


def date_in_words(day: date) -> str:
    """A date as it is printed: `25 November 2026`."""
    return f"{day.day} {day:%B %Y}"
