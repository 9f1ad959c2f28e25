"""Compiling charts: one of the shipped library, and invented ones as their causes grow.

The invented engine has causes whose rates fall off as 1, 1/2, 1/3 and so on, under states and groups, each
with a look and a repair.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from time import perf_counter

from bench.table import Row, at_most, exponent
from bench.tidy import tidy
from kickover.authoring import load_or_raise, shipped_folder
from kickover.core.ids import EventId, MachineId
from kickover.documents.charts.chart_picture import draw_chart
from kickover.documents.charts.compiling import Printing, compile_chart
from kickover.documents.charts.offline_page import chart_page
from kickover.documents.charts.sheets import chart_pdf
from kickover.documents.renderer import bundled_dot, render
from kickover.model.library import Library
from kickover.session.session import Session, begin

SIZES = (30, 60, 120, 250, 500)
LEAST_SHARE = 0.01
SECONDS_OF_60_CAUSES = 10.0
"""What "in seconds" may mean."""
DATE = "25 November 2026"


@dataclass(frozen=True, slots=True)
class Compiling:
    """A chart that was compiled: positions worked out, its steps, the seconds, and the bytes of its DOT."""

    positions: int
    steps: int
    seconds: float
    size: int


def rows() -> list[Row]:
    """Times and sizes of charts, and how they grow with the causes."""
    return [*_growing(), *_shipped()]


def _growing() -> list[Row]:
    found: list[Row] = []
    made: list[Compiling] = []
    with tempfile.TemporaryDirectory() as place:
        for causes in SIZES:
            library = falling_off(tidy(Path(place) / str(causes), causes))
            session = begin(library, next(iter(library.machines.values())), (EventId("all"),))
            one = compiled(session, Printing(LEAST_SHARE))
            made.append(one)
            what = f"chart of {causes} causes, {len(session.belief.posterior)} hypotheses"
            size = f"{one.positions} positions, {one.steps} steps, {one.size / 1000:.0f} kB"
            if causes == 60:
                found.append(at_most(f"{what}: {size}", one.seconds, SECONDS_OF_60_CAUSES, " s"))
            else:
                found.append(Row(f"{what}: {size}", f"{one.seconds:.1f} s"))
    return [
        *found,
        at_most("  time grows with causes to the power of", _power([one.seconds for one in made]), 2.0),
        at_most("  steps grow to the power of", _power([one.steps for one in made]), 1.0),
        Row("  time for a position grows to the power of", f"{_each(made):.2f}"),
    ]


def _power(values: list[float] | list[int]) -> float:
    return exponent(SIZES, values)


def _each(made: list[Compiling]) -> float:
    return _power([one.seconds / one.positions for one in made])


def falling_off(library: Library) -> Library:
    """The same library, its causes one rarer than the other."""
    causes = {
        id_: replace(one, rate=1.0 / number) for number, (id_, one) in enumerate(library.causes.items(), 1)
    }
    return replace(library, causes=causes)


def compiled(session: Session, printing: Printing) -> Compiling:
    """Compile the chart of a walk at its start."""
    positions = 0

    def tick() -> None:
        nonlocal positions
        positions += 1

    start = perf_counter()
    chart = compile_chart(session, printing, tick).chart
    spent = perf_counter() - start
    return Compiling(positions, len(chart.nodes), spent, len(draw_chart(chart)))


def _shipped() -> list[Row]:
    """A chart of the shipped library: compiling it, and the share of that which each way of drawing adds."""
    library = load_or_raise(shipped_folder())
    session = begin(library, library.machines[MachineId("clip-on-two-stroke")], [EventId("no-spark-seen")])
    start = perf_counter()
    chart = compile_chart(session).chart
    spent = perf_counter() - start
    ways: dict[str, Callable[[], object]] = {
        "a picture": lambda: render(draw_chart(chart), "svg", bundled_dot()),
        "sheets": lambda: chart_pdf(chart, DATE),
        "an offline page": lambda: chart_page(chart, DATE),
    }
    found = [Row(f"chart of no-spark-seen, {len(chart.nodes)} steps", f"{spent:.1f} s")]
    for name, draw in ways.items():
        start = perf_counter()
        draw()
        found.append(
            Row(f"  drawing it as {name}, over compiling", f"{(perf_counter() - start) / spent:.2f} x")
        )
    return found
