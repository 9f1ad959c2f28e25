"""`kickover pack`: which tools and spares to carry, what each is worth, and what to change beforehand."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import click

from kickover.api import UnknownNameError
from kickover.cli.completing import names_of
from kickover.cli.context import (
    AmountIn,
    FiniteRange,
    form_of,
    json_option,
    library_option,
    open_library,
    print_json,
    today,
)
from kickover.core.atomic_file import write_file
from kickover.core.ids import ItemId
from kickover.documents.paper import PAPERS
from kickover.documents.renderer import svg_to_pdf
from kickover.model.library import Library
from kickover.packing.advice import Budget, Packer
from kickover.packing.coverings import QUICK_MINUTES, coverings
from kickover.packing.knapsack import PackingError
from kickover.packing.pack_report import advise, data, lines
from kickover.packing.prevention import savings
from kickover.packing.printed import frontier_svg, pack_pdf
from kickover.packing.strandings import strandings

FORMATS = ("svg", "pdf")


@click.command()
@click.option(
    "--machine",
    shell_complete=names_of("machines"),
    required=True,
    metavar="NAME|FILE",
    help="The machine that it is carried on.",
)
@click.option(
    "--grams", type=AmountIn("g"), required=True, help="What the pack may weigh: 1500, or '1.5 kg'."
)
@click.option("--litres", type=AmountIn("L"), help="What it may take up.")
@click.option("--money", type=FiniteRange(min=0), help="What may be spent; what is in --kit is owned.")
@click.option("--kit", "--have", "kit", shell_complete=names_of("kits"), metavar="NAME|FILE",
              help="What you have: what it is worth, what it lacks, and what to buy next.")  # fmt: skip
@click.option(
    "--with",
    "carried",
    shell_complete=names_of("items"),
    multiple=True,
    metavar="ITEM",
    help="Carried anyway, outside all limits.",
)
@click.option(
    "--without", shell_complete=names_of("items"), multiple=True, metavar="ITEM", help="Not to be carried."
)
@click.option(
    "--given",
    shell_complete=names_of("situations"),
    multiple=True,
    metavar="EVENT",
    help="Something that is true of the rides to come.",
)
@click.option("--complaint", "complaints", shell_complete=names_of("complaints"), multiple=True,
              metavar="EVENT", help="For this complaint alone.")  # fmt: skip
@click.option("--minutes", type=FiniteRange(min=0), default=QUICK_MINUTES, show_default=True,
              help="A lasting repair no longer than this is made at the roadside too.")  # fmt: skip
@click.option("--prevention", is_flag=True, help="Show what to do and change beforehand.")
@click.option("-o", "--output", type=click.Path(path_type=Path), metavar="FILE.svg|pdf",
              help="Draw the chance against grams.")  # fmt: skip
@click.option("--list", "printed", type=click.Path(path_type=Path), metavar="FILE.pdf",
              help="Print the pack as a list, by its places in the pouch.")  # fmt: skip
@click.option(
    "--paper", type=click.Choice(list(PAPERS)), default="a4", show_default=True, help="For the list."
)
@library_option
@json_option
def pack(
    machine: str,
    grams: float,
    litres: float | None,
    money: float | None,
    kit: str | None,
    carried: tuple[str, ...],
    without: tuple[str, ...],
    given: tuple[str, ...],
    complaints: tuple[str, ...],
    minutes: float,
    prevention: bool,
    output: Path | None,
    printed: Path | None,
    paper: str,
    library: Path | None,
    as_json: bool,
) -> int:
    """Say which tools and spares to carry so that getting home is most likely.

    The best pack is exact. A cause counts as covered when a roadside repair, or a lasting one that is
    quick, can be made with what is carried, and when the fault can be found with it: by a check that
    speaks clearly for it, or by trying a repair of a quarter of an hour of work at most.
    """
    form = form_of(output, FORMATS) if output else ""
    loaded = open_library(library)
    known = loaded.machine(machine)
    houses = frozenset(loaded.house(one) for one in given)
    own = loaded.items(kit)
    only = frozenset(loaded.complaint(one) for one in complaints)
    stranding = strandings(loaded.library, known, houses, only)
    if only and not stranding:
        raise PackingError(f"{known.title} cannot have that complaint; name another, or another machine")
    covered = coverings(loaded.library, known, stranding, houses, minutes)
    budget = Budget(
        grams,
        litres,
        money,
        owned=own or frozenset(),
        carried=_items(loaded.library, carried),
        without=_items(loaded.library, without),
    )
    advice = advise(Packer(loaded.library, covered), known, budget, own)
    if prevention:
        at_hand = (frozenset(advice.best.items) if own is None else own) | budget.carried
        advice = replace(advice, savings=savings(loaded.library, known, covered, at_hand))
    if output:
        title = f"{known.title}: chance of getting home"
        svg = frontier_svg(advice.frontier, title, grams)
        write_file(output, svg if form == "svg" else svg_to_pdf(svg))
    if printed:
        form_of(printed, ("pdf",))
        carried_items = frozenset(advice.best.items) | budget.carried
        write_file(printed, pack_pdf(loaded.library, advice, carried_items, today().isoformat(), paper))
    if as_json:
        print_json({**data(advice), "file": str(output) if output else None})
    else:
        for line in lines(loaded.library, advice):
            click.echo(line)
    return 0


def _items(library: Library, names: tuple[str, ...]) -> frozenset[ItemId]:
    for name in names:
        if name not in library.items:
            raise UnknownNameError("item", name, library.items)
    return frozenset(ItemId(name) for name in names)
