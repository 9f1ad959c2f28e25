"""Reviews of what checks are good for: causes that none separates, and checks that separate nothing."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kickover.authoring.validate.context import ValidationContext, at, listed_ids
from kickover.core.ids import EventId, MachineId, RepairId
from kickover.core.problem import Problem
from kickover.model.library import All, Any, Check, Condition, Library, Machine, Not, names_in
from kickover.model.truth import Bits, evaluate, structure_of, where

MOST_TRUTHS = 200_000_000
"""How many truths of events are worked out before it is given up to tell causes apart."""
Positions = NDArray[np.int64]
"""Causes by their position in the compiled tree."""
_A_LINK = 32
"""The room that a weak link takes beside that of a truth."""
_NO_LINE = 255
_DIGITS = 9


class TooLargeError(Exception):
    """A tree in which so much lies above each cause that they cannot be told apart in reasonable time."""


def check_separated(subject: ValidationContext) -> Iterator[Problem]:
    """Causes of one complaint with the same findings under every check, and no repair that cures them all."""
    causes = subject.library.causes
    if subject.structure.loops or not causes:
        return
    found: dict[tuple[EventId, ...], list[MachineId]] = defaultdict(list)
    try:
        for machine in subject.machines:
            for members in _Singles(subject.library, machine).alike(subject.spoken_of):
                found[members].append(machine.id)
    except TooLargeError:
        first = next(iter(causes))
        message = "so many events lie above the causes that it cannot be judged whether checks separate them"
        yield at(causes[first].place, message, "make the tree flatter, or split the library", "causes", first)
        return
    for members, machines in _largest(found):
        first, *others = members
        on = "" if len(machines) == len(subject.machines) else f" on {listed_ids(machines)}"
        message = f"no check tells `{first}` from {listed_ids(others)}{on}, and no one repair cures them"
        hint = "add a check that observes one of them, or name them in one repair"
        yield at(causes[first].place, message, hint, "causes", first)


def _largest(
    found: Mapping[tuple[EventId, ...], list[MachineId]],
) -> Iterator[tuple[tuple[EventId, ...], Sequence[MachineId]]]:
    """Leave out groups that are part of a larger one."""
    kept: dict[EventId, list[frozenset[EventId]]] = defaultdict(list)
    for members, machines in sorted(found.items(), key=lambda group: (-len(group[0]), group[0])):
        group = frozenset(members)
        if not any(group <= larger for larger in kept[members[0]]):
            yield members, machines
            for member in members:
                kept[member].append(group)


@dataclass(frozen=True, slots=True)
class _Shown:
    """What single causes show: for each row the lines of checks that hold, and the truth of each event."""

    lines: NDArray[np.uint8]
    truth: Mapping[EventId, Bits]

    def true(self, event: EventId) -> NDArray[np.bool_]:
        """The rows in which an event is true."""
        return _unpacked(self.truth[event], len(self.lines))


class _Singles:
    """The engines of one machine that have a single cause each, with all house events true, or all false."""

    def __init__(self, library: Library, machine: Machine) -> None:
        self._causes = library.causes
        self._situations = [frozenset(library.houses), frozenset[EventId]()][not library.houses :]
        self._checks = [check for check in library.checks.values() if machine.fits(check.needs.only_if)]
        self._alike_lines = {check.id: _alike_lines(check) for check in self._checks}
        # Those of which more true events can only make an earlier line hold, with other chances.
        self._plain = [
            check
            for check in self._checks
            if len(set(self._alike_lines[check.id])) == len(check.lines)
            and not any(_negates(line.when) for line in check.lines)
        ]
        self._cured: dict[EventId, set[RepairId]] = defaultdict(set)
        for repair in library.repairs.values():
            if machine.fits(repair.needs.only_if):
                for cause in repair.cures:
                    self._cured[cause].add(repair.id)
        gates = [*library.gates.values(), *(complaint.gate for complaint in library.complaints.values())]
        links = sum(line.chance < 1 for gate in gates for line in gate.inputs)
        self._events = len(gates) + len(library.causes)
        self._refuse_above_limit(len(library.causes) + _A_LINK * links)
        observed = dict.fromkeys(
            EventId(name) for check in self._checks for line in check.lines for name in names_in(line.when)
        )
        self._tree = structure_of(library, machine, tuple(library.complaints), observed)
        self._complaints = [gate.event for gate in self._tree.gates if gate.event in library.complaints]

    def alike(self, spoken_of: Set[str]) -> Set[tuple[EventId, ...]]:
        """Causes that nothing tells apart, in the order of the library.

        The more links are open, the more is true, and the earlier is the line of a check that holds: causes
        that show the same with the same chances also show the same with all links open. So those are found
        first, one row a cause, and only what they leave together is worked out for each state of its links.
        """
        tree, found = self._tree, set[tuple[EventId, ...]]()
        place = {cause: number for number, cause in enumerate(tree.causes)}
        causes = [cause for cause in self._causes if cause in place and cause not in spoken_of]
        rows = np.array([place[cause] for cause in causes], dtype=np.int64)
        if not causes:
            return found
        opened = np.ones((len(rows), len(tree.links)), dtype=bool)
        groups: dict[tuple[EventId, bytes], list[EventId]] = defaultdict(list)
        shown = [self._shown(self._plain, rows, opened, houses) for houses in self._situations]
        lines = np.hstack([each.lines for each in shown])
        for complaint in self._complaints:
            explaining = np.logical_or.reduce([each.true(complaint) for each in shown])
            for row in np.flatnonzero(explaining):
                groups[complaint, lines[row].tobytes()].append(causes[row])
        for (complaint, _), members in groups.items():
            if not self._cured_together(members):
                exactly: dict[frozenset[object], list[EventId]] = defaultdict(list)
                signatures = self._signatures(complaint, np.array([place[cause] for cause in members]))
                for cause, signature in zip(members, signatures, strict=True):
                    exactly[signature].append(cause)
                found |= {tuple(same) for same in exactly.values() if not self._cured_together(same)}
        return found

    def _cured_together(self, causes: Sequence[EventId]) -> bool:
        return len(causes) < 2 or bool(set.intersection(*(self._cured[cause] for cause in causes)))

    def _signatures(self, complaint: EventId, places: Positions) -> Iterator[frozenset[object]]:
        """For each cause the chance of each row of lines when it is there and the complaint is made."""
        tree = self._tree
        above = [sorted(tree.reach[tree.causes[place]]) for place in places.tolist()]
        ends = np.cumsum([2 ** len(links) for links in above]).tolist()
        self._refuse_above_limit(ends[-1])
        spans = [slice(start, end) for start, end in zip([0, *ends], ends, strict=False)]
        opened = np.zeros((ends[-1], len(tree.links)), dtype=bool)
        for span, links in zip(spans, above, strict=True):
            opened[span, links] = np.arange(span.stop - span.start)[:, None] >> np.arange(len(links)) & 1
        rows = np.repeat(places, np.diff([0, *ends]))
        shown = [self._shown(self._checks, rows, opened, houses) for houses in self._situations]
        for span, links in zip(spans, above, strict=True):
            chances = np.array([tree.links[link].chance for link in links])
            weights = np.prod(np.where(opened[span, links], chances, 1 - chances), axis=1)
            masses: Counter[tuple[int, bytes]] = Counter()
            for number, each in enumerate(shown):
                weight = np.where(each.true(complaint)[span], weights, 0.0)
                for row in np.flatnonzero(weight):
                    masses[number, each.lines[span][row].tobytes()] += weight[row] / weight.sum()
            yield frozenset((key, round(mass, _DIGITS)) for key, mass in masses.items())

    def _shown(
        self,
        checks: Sequence[Check],
        causes: Positions,
        opened: NDArray[np.bool_],
        houses: Set[EventId],
    ) -> _Shown:
        count = len(causes)
        width = (count + 7) // 8
        rows = np.arange(count)
        present = np.zeros((len(self._tree.causes), width), dtype=np.uint8)
        np.bitwise_or.at(present, (causes, rows >> 3), (128 >> (rows & 7)).astype(np.uint8))
        packed = dict(zip(self._tree.causes, present, strict=True))
        truth = evaluate(self._tree, packed, list(np.packbits(opened.T, axis=1)), houses, {}, width)
        never = np.zeros(width, dtype=np.uint8)
        conditions = [line.when for check in checks for line in check.lines]
        packed_lines = [
            where(when, lambda name: truth.get(EventId(name), never), width) for when in conditions
        ]
        holding = iter(_unpacked(np.array(packed_lines, dtype=np.uint8).reshape(-1, width), count))
        lines = np.full((len(checks), count), _NO_LINE, dtype=np.uint8)
        for row, check in zip(lines, checks, strict=True):
            for alike, holds in [*zip(self._alike_lines[check.id], holding, strict=False)][::-1]:
                row[holds] = alike
        return _Shown(np.ascontiguousarray(lines.T), truth)

    def _refuse_above_limit(self, rows: int) -> None:
        if rows * self._events > MOST_TRUTHS:
            raise TooLargeError


def _unpacked(bits: Bits, count: int) -> NDArray[np.bool_]:
    return np.unpackbits(bits, axis=-1, count=count).view(bool)


def _alike_lines(check: Check) -> tuple[int, ...]:
    """For each line of a check the first one with the same chances."""
    chances = [
        {name: round(chance, _DIGITS) for name, chance in line.chances.items()} for line in check.lines
    ]
    return tuple(map(chances.index, chances))


def _negates(condition: Condition) -> bool:
    match condition:
        case Not():
            return True
        case All(parts) | Any(parts):
            return any(map(_negates, parts))
    return False


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
