"""Reviews of what checks are good for: causes that none separates, and checks that separate nothing."""

from __future__ import annotations

import heapq
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence

from kickover.authoring.validate.context import ValidationContext, at, listed_ids
from kickover.core.ids import EventId, RepairId
from kickover.core.problem import Problem
from kickover.model.graph import EventGraph
from kickover.model.library import All, Any, Check, Condition, Is, Library, Machine, Not, names_in

Signature = frozenset[tuple[int, int, tuple[float, ...]]]


MOST_STEPS = 2_000_000


class TooLargeError(Exception):
    """A tree in which so much lies above each cause that they cannot be told apart in reasonable time."""


def check_separated(subject: ValidationContext) -> Iterator[Problem]:
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
        hint = "add a check that observes one of them, or name them in one repair"
        yield at(causes[first].place, message, hint, "causes", first)


def _alike(subject: ValidationContext) -> dict[tuple[EventId, ...], list[str]]:
    """Causes that nothing tells apart, with the machines on which it is so."""
    found: dict[tuple[EventId, ...], list[str]] = defaultdict(list)
    steps_left = MOST_STEPS
    outcomes = Outcomes(subject.library.checks.values())
    repairs = _repairs_by_cause(subject.library)
    fitting = {
        machine.id: {
            repair.id for repair in subject.library.repairs.values() if machine.fits(repair.needs.only_if)
        }
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
    subject: ValidationContext, machine: Machine, outcomes: Outcomes, most_steps: int
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


def check_useful_checks(subject: ValidationContext) -> Iterator[Problem]:
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


Chances = Mapping[str, float]
_DIGITS = 9


class Effects:
    """The effects of single causes on one machine, with all house events true or all false.

    `steps` counts the gates that were worked out, so that a caller can set a limit.
    """

    def __init__(self, structure: EventGraph, machine: Machine, houses_hold: bool) -> None:
        self.steps = 0
        self._gates = [structure.gates[event] for event in structure.order]
        self._above: dict[str, list[tuple[int, float]]] = defaultdict(list)
        for position, gate in enumerate(self._gates):
            if machine.fits(gate.only_if):
                for line in gate.inputs:
                    self._above[line.event].append((position, line.chance))
        self.idle: dict[str, float] = {}
        self._idle_inputs: dict[int, dict[str, float]] = defaultdict(dict)
        self.idle = self._spread(dict.fromkeys(map(str, structure.houses), 1.0) if houses_hold else {})
        for event, chance in self.idle.items():
            for position, passing in self._above[event]:
                self._idle_inputs[position][event] = passing * chance

    def of(self, cause: EventId) -> Mapping[str, float]:
        """The events whose chance differs from `idle` when this cause alone is there."""
        return self._spread({cause: 1.0})

    def _spread(self, changed: dict[str, float]) -> dict[str, float]:
        """Carry changes up, each gate once and after all of its inputs; only what changes is looked at."""
        fed: dict[int, list[float]] = defaultdict(list)
        waiting: list[int] = []
        for event, chance in tuple(changed.items()):
            self._feed(event, chance, fed, waiting)
        while waiting:
            position = heapq.heappop(waiting)
            self.steps += 1
            gate = self._gates[position]
            idle = (chance for event, chance in self._idle_inputs[position].items() if event not in changed)
            chance = _at_least(gate.needed, [*fed[position], *idle])
            if chance != self.idle.get(gate.id, 0.0):
                changed[gate.id] = chance
                self._feed(gate.id, chance, fed, waiting)
        return changed

    def _feed(self, event: str, chance: float, fed: dict[int, list[float]], waiting: list[int]) -> None:
        for position, passing in self._above[event]:
            if position not in fed:
                heapq.heappush(waiting, position)
            fed[position].append(passing * chance)


def _at_least(needed: int, inputs: Sequence[float]) -> float:
    """The chance that at least `needed` of independent inputs are true."""
    if len(inputs) < needed:
        return 0.0
    exactly = [1.0] + [0.0] * needed
    for chance in inputs:
        exactly[needed] += exactly[needed - 1] * chance
        for count in range(needed - 1, 0, -1):
            exactly[count] = exactly[count] * (1 - chance) + exactly[count - 1] * chance
        exactly[0] *= 1 - chance
    return exactly[needed]


class Outcomes:
    """The chances of a check's findings, remembered by the chances of the events that it observes."""

    def __init__(self, checks: Iterable[Check]) -> None:
        self._checks = tuple(checks)
        self._names = [tuple(dict.fromkeys(_observed(check))) for check in self._checks]
        self._known: dict[tuple[int, tuple[float, ...]], tuple[float, ...]] = {}
        self.observing: dict[str, list[int]] = {}
        for index, names in enumerate(self._names):
            for name in names:
                self.observing.setdefault(name, []).append(index)

    def of(self, index: int, changed: Chances, idle: Chances) -> tuple[float, ...]:
        """The chances of the findings of the check at `index`, rounded so that equal ones are equal."""
        truths = tuple(
            [changed[name] if name in changed else idle.get(name, 0.0) for name in self._names[index]]
        )
        key = (index, truths)
        if key not in self._known:
            by_name = dict(zip(self._names[index], truths, strict=True))
            self._known[key] = _findings(self._checks[index], by_name)
        return self._known[key]


def _observed(check: Check) -> Iterable[str]:
    for line in check.lines:
        yield from names_in(line.when)


def _findings(check: Check, truths: Chances) -> tuple[float, ...]:
    totals = [0.0] * len(check.findings)
    left = 1.0
    for line in check.lines:
        here = left * _holds(line.when, truths)
        left -= here
        for index, finding in enumerate(check.findings):
            totals[index] += here * line.chances.get(finding.id, 0.0)
    return tuple(round(total, _DIGITS) for total in totals)


def _holds(condition: Condition, truths: Chances) -> float:
    match condition:
        case Is(name):
            return truths.get(name, 0.0)
        case Not(part):
            return 1.0 - _holds(part, truths)
        case All(parts):
            together = 1.0
            for part in parts:
                together *= _holds(part, truths)
            return together
        case Any(parts):
            none = 1.0
            for part in parts:
                none *= 1.0 - _holds(part, truths)
            return 1.0 - none
