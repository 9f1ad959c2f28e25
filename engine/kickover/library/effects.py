"""What one cause alone does: the chance of every event above it, and of every finding then.

Used to tell whether checks separate causes. Events in one condition are taken to be independent given the
cause; that is exact for plain gates, and good enough to tell two causes apart where links are weak. The
reasoning proper, in `kickover.reason`, makes no such shortcut.
"""

from __future__ import annotations

import heapq
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence

from kickover.ids import EventId
from kickover.library.model import All, Any, Check, Condition, Is, Machine, Not, names_in
from kickover.library.structure import Structure

Chances = Mapping[str, float]
_DIGITS = 9


class Effects:
    """The effects of single causes on one machine, with all house events true or all false.

    `steps` counts the gates that were worked out, so that a caller can set a limit.
    """

    def __init__(self, structure: Structure, machine: Machine, houses_hold: bool) -> None:
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
