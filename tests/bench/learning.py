"""Learning from very many cases, against a bare pass of SQLite over the same rows, on the shipped library."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from time import process_time

import numpy as np

from bench.table import Row, at_most, exponent, peak_megabytes
from kickover.authoring import load_or_raise, shipped_folder
from kickover.core.ids import CheckId, EventId
from kickover.inference.compiled_model import EngineState, Model, compile_model
from kickover.learning.case import Confirmed
from kickover.learning.learning import Strength, learn_from
from kickover.learning.likely_causes import Grounds
from kickover.learning.notation import write_causes, write_names
from kickover.learning.rows import CASE_COLUMNS, SEEN_COLUMNS, inserting
from kickover.learning.store import CaseStore, opened
from kickover.model.library import Library

SIZES = (5_000, 20_000, 80_000)
MILLION = 1_000_000
CHECKS_A_CASE = 5
BATCH = 20_000


@dataclass(frozen=True, slots=True)
class Learnt:
    """Learning from so many cases: the seconds, those of a bare pass, and the megabytes that it took."""

    cases: int
    seconds: float
    bare: float
    megabytes: float


def rows() -> list[Row]:
    """Some thousands of cases, and how the time grows with them."""
    library = load_or_raise(shipped_folder())
    found = [learnt(library, number) for number in SIZES]
    grown = exponent(SIZES, [one.seconds for one in found])
    return [
        *(row for one in found for row in _told(one)),
        at_most("  grows with cases to the power of", grown, 1.1),
    ]


def million_rows() -> list[Row]:
    """A million cases."""
    return _told(learnt(load_or_raise(shipped_folder()), MILLION))


def _told(one: Learnt) -> list[Row]:
    return [
        Row(f"learning from {one.cases} cases over a bare pass", f"{one.seconds / one.bare:.1f} x"),
        Row("  that is, and megabytes more", f"{one.seconds:.1f} s, {one.megabytes:.0f} MB"),
    ]


def learnt(library: Library, number: int) -> Learnt:
    """Fill a file with so many cases drawn from the model, and learn from it."""
    with tempfile.TemporaryDirectory() as folder, opened(Path(folder) / "cases.sqlite") as store:
        _fill(store, library, number)
        start = process_time()
        assert sum(1 for _ in store.texts()) == number
        read, before = process_time(), peak_megabytes()
        grounds = Grounds(library, lambda name: next(m for m in library.machines.values() if m.id == name))
        lesson = learn_from(store.texts(), grounds, Strength(), seed=1)
        assert lesson.used == number
        return Learnt(number, process_time() - read, read - start, peak_megabytes() - before)


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
    state = EngineState(frozenset(EventId(house) for house in model.hypotheses.houses))
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
