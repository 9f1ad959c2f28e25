"""`kickover pack`: which tools and spares to carry, what each is worth, and what to change beforehand."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import click

from kickover.cli import options
from kickover.cli.context import open_library, today
from kickover.cli.output import answer, json_option
from kickover.core.atomic_file import write_file
from kickover.documents.renderer import svg_to_pdf
from kickover.packing.advice import Budget, Packer
from kickover.packing.coverings import QUICK_MINUTES, coverings
from kickover.packing.knapsack import PackingError
from kickover.packing.pack_report import advise, data, lines
from kickover.packing.prevention import savings
from kickover.packing.printed import frontier_svg, pack_pdf
from kickover.packing.strandings import strandings


@click.command()
@options.machine(required=True)
@click.option(
    "--grams", type=options.AmountIn("g"), required=True, help="What the pack may weigh: 1500, or '1.5 kg'."
)
@click.option("--litres", type=options.AmountIn("L"), help="What it may take up.")
@options.number("--money", "What may be spent; what is in --kit is owned.")
@options.kit("--have")
@options.name("--with", "items", "Carried anyway, outside all limits.", "carried", multiple=True)
@options.name("--without", "items", "Not to be carried.", multiple=True)
@options.given
@options.name("--complaint", "complaints", "For this complaint alone.", "complaints", multiple=True)
@options.number("--minutes", "A lasting repair no longer than this is made at the roadside too.",
                default=QUICK_MINUTES)  # fmt: skip
@click.option("--prevention", is_flag=True, help="Show what to do and change beforehand.")
@options.output("svg", "pdf", what="Draw the chance against grams.")
@options.output(
    "pdf", flags=("--list", "printed"), what="Print the pack as a list, by its places in the pouch."
)
@options.paper()
@options.library
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
    paper: str,
    printed: Path | None,
) -> None:
    """Say which tools and spares to carry so that getting home is most likely.

    The best pack is exact. A cause counts as covered when a roadside repair, or a lasting one that is
    quick, can be made with what is carried, and when the fault can be found with it: by a check that
    speaks clearly for it, or by trying a repair of a quarter of an hour of work at most. Of a --kit that you
    have it says what that is worth, what it lacks, and what to buy next.
    """
    loaded = open_library()
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
        carried=frozenset(loaded.item(one) for one in carried),
        without=frozenset(loaded.item(one) for one in without),
    )
    advice = advise(Packer(loaded.library, covered), known, budget, own)
    if prevention:
        at_hand = (frozenset(advice.best.items) if own is None else own) | budget.carried
        advice = replace(advice, savings=savings(loaded.library, known, covered, at_hand))
    if output:
        title = f"{known.title}: chance of getting home"
        svg = frontier_svg(advice.frontier, title, grams)
        write_file(output, svg if options.form_of(output) == "svg" else svg_to_pdf(svg))
    if printed:
        items = frozenset(advice.best.items) | budget.carried
        write_file(printed, pack_pdf(loaded.library, advice, items, today().isoformat(), paper))
    answer({**data(advice), "file": str(output) if output else None}, lines(loaded.library, advice))
