"""Cases drawn from the model itself, so that what is true is known. Invented, as all data of the tests."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from kickover.core.ids import CheckId, EventId, FindingId, MachineId
from kickover.inference.compiled_model import EngineState, compile_model
from kickover.learning.case import Case, Confirmed, Seen
from kickover.learning.likely_causes import Grounds
from kickover.learning.rows import CaseText, row_of_case, row_of_seen
from kickover.model.library import Library, Machine


def grounds_of(library: Library) -> Grounds:
    """Grounds with the machines of the library."""
    return Grounds(library, lambda name: library.machines[MachineId(name)])


def with_rates(library: Library, rates: Mapping[str, float]) -> Library:
    """The library with some rates changed."""
    causes = {id_: replace(one, rate=rates.get(id_, one.rate)) for id_, one in library.causes.items()}
    return replace(library, causes=causes)


def with_chances(library: Library, check: str, *lines: Mapping[str, float]) -> Library:
    """The library with the chances of one check changed, line by line."""
    known = library.checks[CheckId(check)]
    changed = tuple(
        replace(line, chances={FindingId(name): chance for name, chance in chances.items()})
        for line, chances in zip(known.lines, lines, strict=True)
    )
    return replace(library, checks={**library.checks, known.id: replace(known, lines=changed)})


def simulate(
    library: Library,
    machine: Machine,
    complaint: str,
    number: int,
    random: np.random.Generator,
    *,
    given: Sequence[str] = (),
    checks: Sequence[str] = (),
) -> Iterator[Case]:
    """Cases of one complaint with one cause each, and what the checks named here found."""
    houses = frozenset(EventId(one) for one in given)
    model = compile_model(library, machine, [EventId(complaint)], houses, order=1)
    listed = model.hypotheses.prior * (model.hypotheses.members >= 0).any(axis=1)
    chance = listed / listed.sum()
    state = EngineState(model.hypotheses.houses)
    lines = {check: model.line_positions(CheckId(check), state) for check in checks}
    for place, row in enumerate(random.choice(len(chance), size=number, p=chance)):
        yield Case(
            id=f"{complaint}-{'-'.join(given)}-{place}",
            date="2026-03-01",
            machine=machine.id,
            complaints=(complaint,),
            given=tuple(sorted(model.hypotheses.houses)),
            causes=(model.hypotheses.causes_of(int(row)),),
            confirmed=Confirmed.SEEN,
            seen=tuple(_seen(library, check, int(lines[check][row]), random) for check in checks),
        )


def _seen(library: Library, check: str, line: int, random: np.random.Generator) -> Seen:
    chances = library.checks[CheckId(check)].lines[line].chances
    return Seen(check, ((str(random.choice(list(chances), p=list(chances.values()))), 1.0),))


def texts(cases: Sequence[Case]) -> Iterator[CaseText]:
    """Cases as the store hands them out for counting."""
    for number, case in enumerate(cases, start=1):
        row = [str(one) for one in row_of_case(case)]
        seen = []
        for one in case.seen:
            check, weights, *_, state = row_of_seen(one)
            seen.append((str(check), str(weights), None if state is None else str(state)))
        yield CaseText(number, "", case.date, tuple(row[2:8]), seen)
