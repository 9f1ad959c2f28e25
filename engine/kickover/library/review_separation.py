"""Reviews of what checks are good for: causes that none separates, and checks that separate nothing."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

from kickover.ids import EventId, RepairId
from kickover.library.effects import Effects, Outcomes
from kickover.library.model import Library, Machine, names_in
from kickover.library.subject import Subject, at, listed_ids
from kickover.problem import Problem

Signature = frozenset[tuple[int, int, tuple[float, ...]]]


MOST_STEPS = 2_000_000


class TooLargeError(Exception):
    """A tree in which so much lies above each cause that they cannot be told apart in reasonable time."""


def check_separated(subject: Subject) -> Iterator[Problem]:
    """Causes of one complaint with the same findings under every check, and no repair that cures them all.

    Causes are sorted into groups by what every check would show, so that the work grows with the number
    of causes and not with that of their pairs. It is given up, with a problem, after `MOST_STEPS` gates.
    """
    causes = subject.library.causes
    if subject.structure.loops or not causes:
        return
    try:
        alike = _alike(subject)
    except TooLargeError:
        first = next(iter(causes))
        message = "so many events lie above the causes that it cannot be judged whether checks separate them"
        yield at(causes[first].place, message, "make the tree flatter, or split the library", "causes", first)
        return
    for members, machines in _largest(alike):
        first, *others = members
        on = "" if len(machines) == len(subject.machines) else f" on {listed_ids(machines)}"
        message = f"no check tells `{first}` from {listed_ids(others)}{on}, and no one repair cures them"
        mend = "add a check that observes one of them, or name them in one repair"
        yield at(causes[first].place, message, mend, "causes", first)


def _alike(subject: Subject) -> dict[tuple[EventId, ...], list[str]]:
    """Causes that nothing tells apart, with the machines on which it is so."""
    found: dict[tuple[EventId, ...], list[str]] = defaultdict(list)
    steps_left = MOST_STEPS
    outcomes = Outcomes(subject.library.checks.values())
    repairs = _repairs_by_cause(subject.library)
    fitting = {
        machine.id: {one.id for one in subject.library.repairs.values() if machine.fits(one.needs.only_if)}
        for machine in subject.machines
    }
    for machine in subject.machines:
        groups: set[tuple[EventId, ...]] = set()
        alike, steps = _groups(subject, machine, outcomes, steps_left)
        steps_left -= steps
        for members in alike:
            common = fitting[machine.id].intersection(*(repairs.get(cause, frozenset()) for cause in members))
            if len(members) > 1 and not common:
                groups.add(members)
        for members in groups:
            found[members].append(machine.id)
    return found


def _groups(
    subject: Subject, machine: Machine, outcomes: Outcomes, most_steps: int
) -> tuple[Sequence[tuple[EventId, ...]], int]:
    """Groups of causes that show the same under every check, with the steps that it took to find them."""
    library = subject.library
    usable = {
        index for index, check in enumerate(library.checks.values()) if machine.fits(check.needs.only_if)
    }
    scenarios = [
        Effects(subject.structure, machine, holds) for holds in ((True, False) if library.houses else (True,))
    ]
    idle = [{index: outcomes.of(index, {}, effects.idle) for index in usable} for effects in scenarios]
    groups: dict[tuple[EventId, Signature], list[EventId]] = defaultdict(list)
    for cause in library.causes.values():
        if cause.id in subject.spoken_of or not machine.fits(cause.only_if):
            continue
        shown: set[tuple[int, int, tuple[float, ...]]] = set()
        complaints: set[EventId] = set()
        for scenario, effects in enumerate(scenarios):
            changed = effects.of(cause.id)
            complaints.update(event for event in library.complaints if event in changed)
            observing = {index for event in changed for index in outcomes.observing.get(event, ())}
            for index in observing & usable:
                chances = outcomes.of(index, changed, effects.idle)
                if chances != idle[scenario][index]:
                    shown.add((scenario, index, chances))
        for complaint in complaints:
            groups[complaint, frozenset(shown)].append(cause.id)
        if sum(effects.steps for effects in scenarios) > most_steps:
            raise TooLargeError
    return [tuple(members) for members in groups.values()], sum(effects.steps for effects in scenarios)


def _repairs_by_cause(library: Library) -> dict[EventId, frozenset[RepairId]]:
    curing: dict[EventId, set[RepairId]] = defaultdict(set)
    for repair in library.repairs.values():
        for cause in repair.cures:
            curing[cause].add(repair.id)
    return {cause: frozenset(repairs) for cause, repairs in curing.items()}


def _largest(
    found: dict[tuple[EventId, ...], list[str]],
) -> Iterator[tuple[tuple[EventId, ...], Sequence[str]]]:
    """Leave out groups that are part of a larger one."""
    kept: dict[EventId, list[frozenset[EventId]]] = defaultdict(list)
    for members, machines in sorted(found.items(), key=lambda one: (-len(one[0]), one[0])):
        group = frozenset(members)
        if not any(group <= larger for larger in kept[members[0]]):
            yield members, machines
            for member in members:
                kept[member].append(group)


def check_useful_checks(subject: Subject) -> Iterator[Problem]:
    """Checks whose findings are as likely whatever is wrong, or that observe nothing but the situation."""
    houses = subject.library.houses
    for check in subject.library.checks.values():
        names = {name for line in check.lines for name in names_in(line.when)}
        if len({tuple(sorted(line.chances.items())) for line in check.lines}) < 2:
            message = f"`{check.id}` separates nothing: its findings are as likely whatever is wrong"
            yield at(check.place, message, "give its lines different chances", "checks", check.id)
        elif names and names <= houses.keys():
            message = f"`{check.id}` observes house events only, and separates no causes"
            yield at(check.place, message, "observe an event of the tree, or delete it", "checks", check.id)
