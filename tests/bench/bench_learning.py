"""How long learning from very many cases takes, and in how much memory, on the shipped library.

Run: python tests/bench/bench_learning.py [NUMBER]. Times are given as ratios to a bare pass of SQLite over
the same rows, so that they mean the same on any computer; seconds stand beside them for information.
"""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

import numpy as np

from kickover.cases.grounds import Grounds
from kickover.cases.learning import Strength, learn_from
from kickover.cases.notation import write_causes, write_names
from kickover.cases.record import Confirmed
from kickover.cases.rows import CASE_COLUMNS, SEEN_COLUMNS, inserting
from kickover.cases.store import CaseStore, opened
from kickover.ids import CheckId, EventId
from kickover.library import load_or_raise, shipped_folder
from kickover.library.model import Library
from kickover.reason.model import EngineState, Model, compile_model

Row = Mapping[str, float | int | str]

CHECKS_A_CASE = 5
BATCH = 20_000


def bench_learning(number: int = 1_000_000) -> list[Row]:
    """Fill a file with so many cases and learn from it: one row."""
    library = load_or_raise(shipped_folder())
    with tempfile.TemporaryDirectory() as folder, opened(Path(folder) / "cases.sqlite") as store:
        filling = _timed(lambda: _fill(store, library, number))
        reading = _timed(lambda: sum(1 for _ in store.texts()))
        before = _peak()
        grounds = Grounds(library, lambda name: next(m for m in library.machines.values() if m.id == name))
        found = []
        learning = _timed(lambda: found.append(learn_from(store.texts(), grounds, Strength(), seed=1)))
        lesson = found[0]
        return [
            {
                "what": "learning from cases",
                "cases": number,
                "used": lesson.used,
                "answers": round(sum(one.answers for one in lesson.chances)),
                "times a bare pass": round(learning / reading, 2),
                "seconds": round(learning, 1),
                "seconds to read": round(reading, 1),
                "seconds to fill": round(filling, 1),
                "megabytes more": round(_peak() - before),
                "verdict": lesson.rates_judged.verdict.value,
            }
        ]


def _timed(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def _peak() -> float:
    """The most memory used so far, in megabytes."""
    used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return used / (1024.0 * 1024.0 if sys.platform == "darwin" else 1024.0)


def _fill(store: CaseStore, library: Library, number: int) -> None:
    """Write cases drawn from the model straight into the tables, which is quicker than adding values."""
    random = np.random.default_rng(1)
    connection = store._connection
    kinds = [
        (machine.id, complaint)
        for machine in library.machines.values()
        for complaint in library.complaints
        if compile_model(library, machine, [complaint], order=1).hypotheses.count > 2
    ]
    share = number // len(kinds)
    first = 1
    for place, (machine_id, complaint) in enumerate(kinds):
        wanted = share if place else number - share * (len(kinds) - 1)
        model = compile_model(library, library.machines[machine_id], [complaint], order=1)
        for start in range(0, wanted, BATCH):
            numbers = range(first, first + min(BATCH, wanted - start))
            first = numbers.stop
            cases, seen = [], []
            for one, row, checks in zip(numbers, *_drawn(model, len(numbers), random), strict=True):
                causes = write_causes((model.hypotheses.causes_of(row),))
                houses = write_names(tuple(sorted(model.hypotheses.houses)))
                heading = (machine_id, complaint, houses, causes, Confirmed.SEEN.value, "")
                cases.append((one, str(one), "2026-03-01", *heading, 20.0, library.version))
                seen += [
                    (one, at, check, finding, None, None, None, None)
                    for at, (check, finding) in enumerate(checks)
                ]
            connection.execute("BEGIN IMMEDIATE")
            connection.executemany(inserting("cases", ("number", *CASE_COLUMNS)), cases)
            connection.executemany(inserting("seen", ("number", "place", *SEEN_COLUMNS)), seen)
            connection.execute("COMMIT")


def _drawn(
    model: Model, number: int, random: np.random.Generator
) -> tuple[list[int], Iterator[list[tuple[str, str]]]]:
    """Hypotheses drawn by their chance, and for each some checks with their findings."""
    listed = model.hypotheses.prior * (model.hypotheses.members >= 0).any(axis=1)
    rows = random.choice(len(listed), size=number, p=listed / listed.sum())
    names = list(model.checks)
    chosen = [random.choice(len(names), size=number) for _ in range(CHECKS_A_CASE)]
    state = EngineState(frozenset(EventId(one) for one in model.hypotheses.houses))
    luck = random.random((CHECKS_A_CASE, number))
    lines = {check: model.line_positions(CheckId(check), state) for check in names}
    rising = {check: np.cumsum(model.chances[check], axis=0) for check in names}

    def checks_of(place: int) -> list[tuple[str, str]]:
        found: dict[str, str] = {}
        for turn in range(CHECKS_A_CASE):
            check = names[chosen[turn][place]]
            steps = rising[check][:, lines[check][rows[place]]]
            at = min(int(np.searchsorted(steps, luck[turn][place])), len(steps) - 1)
            found[check] = model.checks[check].findings[at].id
        return list(found.items())

    return rows.tolist(), (checks_of(place) for place in range(number))


if __name__ == "__main__":
    for row in bench_learning(int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000):
        sys.stdout.write(", ".join(f"{name} {value}" for name, value in row.items()) + "\n")
