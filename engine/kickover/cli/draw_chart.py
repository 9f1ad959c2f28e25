"""`kickover draw chart`: a flowchart, sheets or an offline page from a complaint to its repairs."""

from __future__ import annotations

from dataclasses import asdict
from datetime import date
from pathlib import Path
from typing import TypedDict, Unpack

import click

from kickover.api import Loaded
from kickover.cli.context import form_of, json_option, library_option, open_library, print_json, today
from kickover.cli.progress import Counter
from kickover.core.atomic_file import write_file
from kickover.core.ids import ItemId, KitId
from kickover.core.near_names import nearest
from kickover.core.problem import KickoverError, SourcePlace
from kickover.documents.charts.chart import Chart
from kickover.documents.charts.chart_picture import draw_chart
from kickover.documents.charts.compile_lists import MOST_LISTS
from kickover.documents.charts.compiling import DEEPEST, LEAST_SHARE, Compiled, Printing, compile_chart
from kickover.documents.charts.offline_page import chart_page
from kickover.documents.charts.pouch_card import pouch_card
from kickover.documents.charts.sheets import chart_pdf
from kickover.documents.paper import PAPERS
from kickover.documents.renderer import render
from kickover.model.library import Kit
from kickover.session.session import Session

CHART_FORMS = ("svg", "pdf", "png", "dot", "html")
EVERYTHING = "every tool and spare"


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
    card: bool
    depth: int
    least: float
    lists: int
    library: Path | None
    as_json: bool


@click.command()
@click.argument("complaint")
@click.option("--machine", required=True, metavar="NAME|FILE", help="A machine of the library, or a file.")
@click.option("--kit", metavar="NAME|FILE", help="Tools and spares at hand; all of them without it.")
@click.option("--tools", metavar="ITEM,ITEM", help="Only these tools and spares, instead of a kit.")
@click.option("--given", multiple=True, metavar="EVENT", help="Something that is true of the situation.")
@click.option("-o", "--output", type=click.Path(path_type=Path), metavar="FILE.svg|pdf|png|dot|html",
              help="Write a picture, sheets or a page; without it the DOT text is printed.")  # fmt: skip
@click.option("--paper", type=click.Choice(list(PAPERS)), default="a4", show_default=True, help="For PDF.")
@click.option("--card", is_flag=True, help="For PDF: one sheet to fold for the pouch, instead of the set.")
@click.option("--depth", type=click.IntRange(1, 200), default=DEEPEST, show_default=True,
              help="How many steps deep at most.")  # fmt: skip
@click.option("--least", type=click.FloatRange(0.0005, 0.5), default=LEAST_SHARE, show_default=True,
              help="The least share of cases for which a check is printed.")  # fmt: skip
@click.option("--lists", type=click.IntRange(1, 26), default=MOST_LISTS, show_default=True,
              help="How many finishing lists at most.")  # fmt: skip
@library_option
@json_option
def chart(complaint: str, **options: Unpack[ChartOptions]) -> None:
    """Draw the way from COMPLAINT (several joined by commas) to its repairs, step by step."""
    output = options["output"]
    form = form_of(output, CHART_FORMS) if output else "dot"
    if options["card"] and form != "pdf":
        raise click.UsageError("a card is a PDF; give -o FILE.pdf with --card")
    loaded = open_library(options["library"])
    session = begun(loaded, complaint, options)
    with Counter("positions worked out") as progress:
        compiled = compile_chart(session, _printing(loaded, complaint, options), progress.step)
    if output:
        write_file(output, drawn(compiled.chart, form, options["paper"], card=options["card"]))
    if options["as_json"]:
        print_json(_data(complaint, compiled, options))
    elif output is None:
        click.echo(draw_chart(compiled.chart), nl=False)


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
    return Kit(KitId("named"), titles, frozenset(named), False, SourcePlace("--tools", 0))


def _printing(loaded: Loaded, complaint: str, options: ChartOptions) -> Printing:
    kit = EVERYTHING
    if options["tools"] is not None:
        kit = _named_tools(loaded, options["tools"]).title
    elif options["kit"]:
        kit = (
            loaded.library.kits[KitId(options["kit"])].title
            if options["kit"] in loaded.library.kits
            else options["kit"]
        )
    given = "".join(f" --given {option}" for option in options["given"])
    command = f"kickover walk {complaint} --machine {options['machine']}{given}"
    return Printing(options["least"], options["depth"], kit, command, options["lists"])


def drawn(chart: Chart, form: str, paper: str, *, card: bool) -> bytes:
    """The bytes of a file that shows `chart`."""
    printed = date_in_words(today())
    match form:
        case "html":
            return chart_page(chart, printed).encode()
        case "pdf" if card:
            return pouch_card(chart, printed, paper)
        case "pdf":
            return chart_pdf(chart, printed, paper)
        case _:
            return render(draw_chart(chart), form)


def date_in_words(day: date) -> str:
    """A date as it is printed: `25 November 2026`."""
    return f"{day.day} {day:%B %Y}"


def _data(complaint: str, compiled: Compiled, options: ChartOptions) -> dict[str, object]:
    policy = compiled.policy
    return {
        "complaint": complaint.split(","),
        "machine": options["machine"],
        "file": str(options["output"]) if options["output"] else None,
        "minutes": compiled.minutes,
        "confirmed": compiled.confirmed,
        "beyond": policy.cut - compiled.by_lists,
        "by_steps": {"minutes": policy.minutes, "confirmed": policy.confirmed},
        "by_lists": {"minutes": compiled.minutes - policy.minutes, "confirmed": compiled.by_lists},
        "chart": asdict(compiled.chart),
    }
