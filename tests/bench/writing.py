"""Compiling a printed chart of a complaint from the planner's steps."""

from __future__ import annotations

from bench.table import Row, seconds
from kickover.draw.compile import compile_chart
from kickover.ids import EventId, MachineId
from kickover.library import load_or_raise, shipped_folder
from kickover.walk.session import begin


def rows() -> list[Row]:
    """The time of a chart, and for each of its positions."""
    library = load_or_raise(shipped_folder())
    session = begin(library, library.machines[MachineId("clip-on-two-stroke")], [EventId("no-spark-seen")])
    positions = 0

    def tick() -> None:
        nonlocal positions
        positions += 1

    spent = seconds(lambda: compile_chart(session, tick=tick), 1)
    return [
        Row(f"chart of no-spark-seen, {positions} positions", f"{spent:.1f} s"),
        Row("  each position", f"{spent / max(positions, 1) * 1000.0:.1f} ms"),
    ]
