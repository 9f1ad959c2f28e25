"""What one cause alone does: the chance of every event above it, and of every finding then.

Used to tell whether checks separate causes. Events in one condition are taken to be independent given the
cause; that is exact for plain gates, and good enough to tell two causes apart where links are weak. The
reasoning proper, in `kickover.reason`, makes no such shortcut.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping, Sequence

from kickover.ids import EventId
from kickover.library.model import All, Any, Check, Condition, Gate, Is, Machine, Not, names_in
from kickover.library.structure import Structure

Chances = Mapping[str, float]
_DIGITS = 9


class Effects:
    """The effects of single causes on one machine, with all house events true or all false."""

    def __init__(self, structure: Structure, machine: Machine, houses_hold: bool) -> None:
        self._structure = structure
        self._position = {event: position for position, event in enumerate(structure.order)}
        self._fits = {event: machine.fits(structure.gates[event].only_if) for event in structure.order}
        self.idle: dict[str, float] = dict.fromkeys(structure.houses, 1.0) if houses_hold else {}
        for event in structure.order:
            if chance := self._chance(structure.gates[event], {}):
                self.idle[event] = chance

    def of(self, cause: EventId) -> Chances:
        """The events whose chance differs from `idle` when this cause alone is there."""
        changed: dict[str, float] = {cause: 1.0}
        waiting: list[int] = []
        self._push(cause, waiting)
        last = -1
        while waiting:
            position = heapq.heappop(waiting)
            if position == last:
                continue
            last = position
            event = self._structure.order[position]
            chance = self._chance(self._structure.gates[event], changed)
            if chance != self.idle.get(event, 0.0):
                changed[event] = chance
                self._push(event, waiting)
        return changed

    def _push(self, event: EventId, waiting: list[int]) -> None:
        for parent in self._structure.parents.get(event, ()):
            heapq.heappush(waiting, self._position[parent])

    def _chance(self, gate: Gate, changed: Chances) -> float:
        if not self._fits[gate.id]:
            return 0.0
        inputs = [
            line.chance * changed.get(line.event, self.idle.get(line.event, 0.0)) for line in gate.inputs
        ]
        return _at_least(gate.needed, [chance for chance in inputs if chance > 0])


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
        truths = tuple(changed.get(name, idle.get(name, 0.0)) for name in self._names[index])
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
