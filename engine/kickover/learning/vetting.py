"""What speaks against a case: names that the library does not have, and contradictions.

Judges one case at a time and changes nothing. What is doubtful but possible passes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from kickover.core.ids import CheckId, EventId, RepairId
from kickover.core.near_names import nearest
from kickover.core.problem import KickoverError
from kickover.core.screening import cut_short
from kickover.learning.case import Case, Confirmed, Seen
from kickover.learning.likely_causes import Grounds

EARLIEST = 1880
MOST_MINUTES = 100_000.0


def objections(case: Case, grounds: Grounds, today: date) -> tuple[str, ...]:
    """Everything that speaks against `case`, given the library of `grounds`; empty when it may be added.

    Each says what is wrong and what would mend it.
    """
    found = (*_plain(case, today), *_unknown(case, grounds)) or (
        *_twice(case),
        *_against_situation(case, grounds),
        *_against_causes(case, grounds),
    )
    return tuple(map(cut_short, found))


def _plain(case: Case, today: date) -> Iterator[str]:
    if case.id != case.id.strip() or not case.id or not case.id.isprintable():
        yield f"the id {case.id!r} cannot be; write one line of text, or leave the column out"
    try:
        when = date.fromisoformat(case.date if len(case.date) == len("2026-03-31") else "")
    except ValueError:
        yield f"{case.date!r} is no date; write it as 2026-03-31"
    else:
        if when > today:
            yield f"the date {case.date} has not come yet; mend the year"
        if when.year < EARLIEST:
            yield f"the date {case.date} is long before such engines; mend the year"
    if case.minutes is not None and not 0.0 <= case.minutes <= MOST_MINUTES:
        yield f"{case.minutes:g} minutes cannot be; write a number from 0 to {MOST_MINUTES:g}, or nothing"
    if not case.complaints:
        yield "there is no complaint; name what was reported"
    if not case.causes or not all(case.causes):
        yield "there is no confirmed cause; name it, or leave the case out"


def _unknown(case: Case, grounds: Grounds) -> Iterator[str]:
    library = grounds.library
    try:
        machine = grounds.machine(case.machine)
    except KickoverError as error:
        yield str(error) if "; " in str(error) else f"{error}; `kickover list machines` shows them"
        return
    for seen in case.seen:
        weights = [weight for _, weight in seen.weights]
        if not all(0.0 <= weight <= 1.0 for weight in weights) or not sum(weights) > 0.0:
            yield f"the weights of {seen.check!r} cannot be; write shares from 0 to 1, not all 0"
    yield from _missing("complaint", case.complaints, library.complaints)
    yield from _missing("situation", case.given, library.houses)
    yield from _missing("cause", (cause for together in case.causes for cause in together), library.causes)
    yield from _missing("repair", (case.repair,) if case.repair else (), library.repairs)
    for seen in case.seen:
        check = library.checks.get(CheckId(seen.check))
        yield from _missing("situation", seen.state or (), library.houses)
        if check is None:
            yield from _missing("check", (seen.check,), library.checks)
        elif not machine.fits(check.needs.only_if):
            yield f"check {check.id!r} is not for {machine.title}; mend the machine or the check"
        else:
            names = [finding.id for finding in check.findings]
            found = (finding for finding, _ in seen.weights)
            yield from _missing(f"finding of {check.id!r}", found, names, f"there are {', '.join(names)}")


def _missing(kind: str, names: Iterable[str], known: Iterable[str], instead: str = "") -> Iterator[str]:
    there = tuple(known)
    for name in dict.fromkeys(names):
        if name not in there:
            near = nearest(name, there)
            hint = f"did you mean {near!r}?" if near else instead or f"`kickover list {kind}s` shows them"
            yield f"there is no {kind} called {name!r}; {hint}"


def _twice(case: Case) -> Iterator[str]:
    there: dict[tuple[str, tuple[str, ...] | None], Seen] = {}
    for seen in case.seen:
        earlier = there.setdefault((seen.check, seen.state), seen)
        if earlier is not seen:
            told = f"{earlier.finding!r} and as {seen.finding!r}"
            yield f"check {seen.check!r} is there as {told}; keep the one that was right"


def _against_situation(case: Case, grounds: Grounds) -> Iterator[str]:
    for state in (case.given, *(seen.state or () for seen in case.seen)):
        for house in state:
            for other in grounds.library.houses[EventId(house)].excludes:
                if other in state and house < other:
                    yield f"{house!r} and {other!r} cannot both be true; keep one of them"


def _against_causes(case: Case, grounds: Grounds) -> Iterator[str]:
    library, machine = grounds.library, grounds.machine(case.machine)
    if case.confirmed is Confirmed.REPAIR and case.repair:
        cures = library.repairs[RepairId(case.repair)].cures
        if not any(cause in cures for together in case.causes for cause in together):
            yield (
                f"repair {case.repair!r} does not cure {case.causes[0][0]!r}; mend the repair or the cause"
            )
    ground = grounds.ground(case.machine, case.complaints, case.given)
    under = ground.model.hypotheses.structure.causes
    for together in case.causes:
        for cause in together:
            if not machine.fits(library.causes[EventId(cause)].only_if):
                yield f"{machine.title} cannot have the cause {cause!r}; mend the machine or the cause"
            elif cause not in under or (len(together) == 1 and cause not in ground.causes):
                yield (
                    f"{cause!r} alone does not bring {' and '.join(map(repr, case.complaints))} there;"
                    " mend the cause, the complaint or the situation"
                )
