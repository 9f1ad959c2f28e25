"""Charts on paper beside the walk: pages, share mended and minutes; the walk's by simulated engines."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from time import process_time

from bench.table import Row, at_least, at_most
from kickover import api
from kickover.core.ids import EventId
from kickover.documents.charts.chart import ChartMaker
from kickover.documents.charts.wall_set import wall_set
from kickover.simulation.trials import World, run, trials

COMPLAINTS = (
    "no-spark-seen",
    "will-not-start",
    "starts-then-dies",
    "no-power",
    "bogs",
    "vibrates",
    "leaks-fuel",
)
SAMPLE = tuple(
    (complaint, machine, kit)
    for complaint in COMPLAINTS
    for machine, kit in (("clip-on-two-stroke", "bench"), ("points-moped", "pouch"))
)
"""A third of all complaints, on two machines: one stands in a workshop, the other by the road."""
WALKS = 60
"""Few, for they take long: the standard error of their share is told."""
OF_THE_WALK = 0.85
SECONDS = 15.0
"""Of the processor: a busy machine takes longer."""
FEW_CAUSES = 30


@cache
def _library() -> api.Loaded:
    return api.load()


def rows() -> list[Row]:
    """For each of the sample: one, two and six pages, and the share of the walk's mends."""
    return list(_rows())


def _rows() -> Iterator[Row]:
    for complaint, machine, kit in SAMPLE:
        name = f"{complaint}, {machine}, {kit}"
        session = _library().walk(complaint, machine, kit=kit).session
        walked, walk_minutes = _walked(complaint, machine, kit)
        error = (walked * (1 - walked) / WALKS) ** 0.5
        began = process_time()
        maker = ChartMaker(session, kit)
        yield Row(f"{name}: the walk", f"{walked:.2f}, {walk_minutes:.0f} min, planned {maker.planned:.0f}")
        causes = len(session.model.hypotheses.structure.causes)
        for pages in (1, 2, 6):
            made = wall_set(maker, "a4", "today", pages)
            told = f"{len(made.pages)} pages, {made.chart.mended:.2f}, {made.chart.minutes:.0f} min"
            yield Row(f"{name}: at most {pages} pages", told)
            share = made.chart.mended / max(1e-9, walked)
            if pages == 6:
                yield at_least(
                    f"{name}: share of what the walk mends ({walked:.2f} +- {error:.2f})", share, OF_THE_WALK
                )
            elif pages == 2 and causes < FEW_CAUSES:
                yield at_least(f"{name}: share on two pages", share, 0.9)
        yield at_most(f"{name}: seconds", process_time() - began, SECONDS)


def _walked(complaint: str, machine: str, kit: str) -> tuple[float, float]:
    """The share of simulated engines that the walk mends, and its minutes with giving up."""
    library = _library().library
    session = _library().walk(complaint, machine, kit=kit).session
    price = library.settings.give_up_minutes if session.give_up is None else session.give_up
    world = World(session.model.machine, (EventId(complaint),), kit=session.job.kit, give_up=price, seed=3)
    walks = [walk for trial in trials(["kickover"], world, WALKS, WALKS) for walk in run(library, trial)]
    share = sum(walk.confirmed for walk in walks) / len(walks)
    return share, sum(walk.minutes for walk in walks) / len(walks)
