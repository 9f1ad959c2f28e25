"""Reviews of what checks are good for: causes that none separates, and checks that separate nothing."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence, Set
from functools import partial
from itertools import accumulate

import numpy as np
from numpy.typing import NDArray

from kickover.authoring.validate.context import ValidationContext, listed_ids, wrong
from kickover.core.ids import EventId, MachineId, RepairId
from kickover.core.problem import Problem
from kickover.model.library import ALWAYS, All, Any, Check, Condition, Library, Machine, Not, names_in
from kickover.model.truth import Bits, evaluate, structure_of, where

MOST_TRUTHS = 2_000_000_000
"""How many truths of events are worked out before it is given up to tell causes apart."""
_A_LINK, _A_STATE = 128, 16
"""The room that a weak link, or a state of the links, takes beside that of a truth."""
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
        yield wrong(causes[first], message, "make the tree flatter, or split the library")
        return
    for members, machines in _largest(found):
        first, *others = members
        on = "" if len(machines) == len(subject.machines) else f" on {listed_ids(machines)}"
        message = f"no check tells `{first}` from {listed_ids(others)}{on}, and no one repair cures them"
        hint = "add a check that observes one of them, or name them in one repair"
        yield wrong(causes[first], message, hint)


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


class _Singles:
    """The engines of one machine with a single cause each; house events are all true, or all false."""

    def __init__(self, library: Library, machine: Machine) -> None:
        self._causes = library.causes
        self._situations = [frozenset(library.houses), frozenset[EventId]()][not library.houses :]
        self._checks = [check for check in library.checks.values() if machine.fits(check.needs.only_if)]
        chance = np.random.default_rng(0)
        alike = {check.id: _alike_lines(check) for check in self._checks}
        self._numbers = {
            id_: chance.integers(2**63, size=len(lines), dtype=np.uint64)[list(lines)]
            for id_, lines in alike.items()
        }
        # Those of which more true events can only make an earlier line hold, with other chances.
        self._plain = [
            check
            for check in self._checks
            if len(set(alike[check.id])) == len(check.lines)
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
        place = {cause: number for number, cause in enumerate(self._tree.causes)}
        causes = [cause for cause in self._causes if cause in place and cause not in spoken_of]
        if not causes:
            return set()
        all_open = np.ones((len(causes), len(self._tree.links)), dtype=bool)
        shown, explained = self._shown(self._plain, np.array([place[cause] for cause in causes]), all_open)
        groups: dict[tuple[EventId, int, bytes], list[EventId]] = defaultdict(list)
        for complaint, by_situation in explained.items():
            for situation, rows in enumerate(by_situation):
                for row in np.flatnonzero(rows):
                    groups[complaint, situation, shown[row].tobytes()].append(causes[row])
        doubtful = {key: members for key, members in groups.items() if not self._cured_together(members)}
        return self._exactly_alike(place, doubtful) if doubtful else set()

    def _exactly_alike(
        self, place: Mapping[EventId, int], doubtful: Mapping[tuple[EventId, int, bytes], list[EventId]]
    ) -> Set[tuple[EventId, ...]]:
        """Of each group the causes with the same chances of all that is shown, given the complaint."""
        links = {cause: sorted(self._tree.reach[cause]) for members in doubtful.values() for cause in members}
        ends = [0, *accumulate(2 ** len(above) for above in links.values())]
        self._refuse_above_limit(_A_STATE * ends[-1])
        opened = np.zeros((ends[-1], len(self._tree.links)), dtype=bool)
        weights = np.ones(ends[-1])
        span = {cause: slice(*ends[number : number + 2]) for number, cause in enumerate(links)}
        for cause, above in links.items():
            states = np.arange(2 ** len(above))[:, None] >> np.arange(len(above)) & 1
            opened[span[cause], above] = states
            chances = np.array([self._tree.links[link].chance for link in above])
            weights[span[cause]] = np.prod(np.where(states, chances, 1 - chances), axis=1)
        rows = np.repeat([place[cause] for cause in links], np.diff(ends))
        shown, explained = self._shown(self._checks, rows, opened)
        found = set()
        for (complaint, situation, _), members in doubtful.items():
            exactly: dict[frozenset[tuple[bytes, float]], list[EventId]] = defaultdict(list)
            for cause in members:
                weight = weights[span[cause]] * explained[complaint][situation][span[cause]]
                masses: Counter[bytes] = Counter()
                for row in np.flatnonzero(weight):
                    masses[shown[span[cause]][row].tobytes()] += weight[row] / weight.sum()
                exactly[frozenset((number, round(mass, _DIGITS)) for number, mass in masses.items())].append(
                    cause
                )
            found |= {tuple(same) for same in exactly.values() if not self._cured_together(same)}
        return found

    def _cured_together(self, causes: Sequence[EventId]) -> bool:
        return len(causes) < 2 or bool(set.intersection(*(self._cured[cause] for cause in causes)))

    def _shown(
        self, checks: Sequence[Check], causes: NDArray[np.int64], opened: NDArray[np.bool_]
    ) -> tuple[NDArray[np.uint64], Mapping[EventId, Sequence[NDArray[np.bool_]]]]:
        """For each row a number of what all checks show in each situation, and in which a complaint is made.

        The number is a sum of a random one for each check and line that holds: two rows that show different
        things share it with a chance of about one in 10^19.
        """
        rows = np.arange(len(causes))
        width = (len(rows) + 7) // 8
        present = np.zeros((len(self._tree.causes), width), dtype=np.uint8)
        np.bitwise_or.at(present, (causes, rows >> 3), (128 >> (rows & 7)).astype(np.uint8))
        packed = dict(zip(self._tree.causes, present, strict=True))
        links = list(np.packbits(opened.T, axis=1))
        shown = np.zeros((len(self._situations), len(rows)), dtype=np.uint64)
        explained: dict[EventId, list[NDArray[np.bool_]]] = defaultdict(list)
        for houses, numbers in zip(self._situations, shown, strict=True):
            truth = evaluate(self._tree, packed, links, houses, {}, width)
            for complaint in self._complaints:
                explained[complaint].append(_unpacked(truth[complaint], len(rows)))
            true = partial(_truth_of, truth, np.zeros(width, dtype=np.uint8))
            for check in checks:
                number = np.zeros(len(rows), dtype=np.uint64)
                for line, own in zip(check.lines[::-1], self._numbers[check.id][::-1], strict=True):
                    if line.when == ALWAYS:
                        number[:] = own
                    else:
                        number[_unpacked(where(line.when, true, width), len(rows))] = own
                numbers += number
        return np.ascontiguousarray(shown.T), explained

    def _refuse_above_limit(self, rows: int) -> None:
        if rows * self._events > MOST_TRUTHS:
            raise TooLargeError


def _truth_of(truth: Mapping[EventId, Bits], otherwise: Bits, event: str) -> Bits:
    return truth.get(EventId(event), otherwise)


def _unpacked(bits: Bits, count: int) -> NDArray[np.bool_]:
    return np.unpackbits(bits, count=count).view(bool)


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
            yield wrong(check, message, "give its lines different chances")
        elif names and names <= houses.keys():
            message = f"`{check.id}` observes house events only, and separates no causes"
            yield wrong(check, message, "observe an event of the tree, or delete it")


REVIEWS = (check_separated, check_useful_checks)
