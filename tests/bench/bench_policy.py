"""Charts as causes grow: how long one takes to compile, and how large it is.

The engine is invented: causes whose rates fall off as 1, 1/2, 1/3 and so on, under states and groups, each
with a look and a repair.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from pathlib import Path

import pytest

from bench.bench_review_growth import loaded
from kickover.draw.chart import draw_chart
from kickover.draw.compile import Printing, compile_chart
from kickover.ids import EventId
from kickover.library.model import Library
from kickover.walk.session import begin

SIZES = (60, 125, 250, 500)


@dataclass(frozen=True)
class Row:
    """One chart: causes, hypotheses, positions worked out, steps, seconds to compile and to write as DOT."""

    causes: int
    hypotheses: int
    positions: int
    steps: int
    seconds: float
    drawing: float


def falling_off(library: Library) -> Library:
    """The same library, its causes one rarer than the other."""
    causes = {
        id_: replace(one, rate=1.0 / number) for number, (id_, one) in enumerate(library.causes.items(), 1)
    }
    return replace(library, causes=causes)


def rows(folder: Path, sizes: tuple[int, ...] = SIZES, least_share: float = 0.01) -> list[Row]:
    """A row for each number of causes."""
    made = []
    for causes in sizes:
        place = folder / str(causes)
        place.mkdir()
        library = falling_off(loaded(place, causes))
        machine = next(iter(library.machines.values()))
        session = begin(library, machine, (EventId("all"),))
        count = 0

        def tick() -> None:
            nonlocal count
            count += 1

        start = time.perf_counter()
        chart = compile_chart(session, Printing(least_share), tick).chart
        compiled = time.perf_counter()
        draw_chart(chart)
        drawn = time.perf_counter()
        hypotheses = len(session.belief.posterior)
        made.append(Row(causes, hypotheses, count, len(chart.nodes), compiled - start, drawn - compiled))
    return made


def test_a_chart_grows_slower_than_the_square_of_its_causes(tmp_path: Path) -> None:
    found = [row for size in SIZES for row in rows(tmp_path, (size,))]
    print(*found, sep="\n")
    assert found[-1].steps < 20 * found[0].steps
    assert found[-1].seconds / found[0].seconds < (SIZES[-1] / SIZES[0]) ** 2


if __name__ == "__main__":
    pytest.main([__file__, "-s", "--override-ini", "addopts="])
