"""From a stream of cases to counts: all that learning needs, however many cases there are.

Cases are counted apart for each fold, so that what is learned from some can be judged on the others. What
cannot be used is counted by reason and passed over:

- rates are learned from cases with one confirmed cause, or with one of several: after a repair that cures
  several, whatever else it cures counts as possible too, weighed by what was found;
- chances of checks are learned only where the cause was confirmed on its own, and where it decides which
  line of the check holds; anything else would judge a check by itself.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

import numpy as np

from kickover.cases.grounds import Ground, Grounds
from kickover.cases.notation import read_causes, read_names, read_weights
from kickover.cases.rates import Alike, Counts
from kickover.cases.record import CaseError, Confirmed
from kickover.ids import CheckId, EventId, RepairId
from kickover.library.model import Check
from kickover.problem import KickoverError
from kickover.reason.hypotheses import Floats

SeenText = tuple[str, str, str | None]
"""One check as it is kept: its id, weights and state."""

CaseText = tuple[int, tuple[str, ...], list[SeenText]]
"""A case as the store hands it out for counting: its number, heading and checks."""

GUESSED = "the cause was only the likeliest one"
TWO = "two causes at once"
UNEXPLAINED = "the cause does not bring that complaint in this library"
UNKNOWN = "the library lacks the machine, the complaint or the situation"

_DIGITS = 3
"""Weights of causes that a case fits are rounded to so many decimals, so that like cases meet."""


@dataclass(slots=True)
class Tally:
    """The counts, each an array whose first axis is the fold.

    `alike` counts cases by ground, the positions in `causes` that they fit, and the weight of each;
    `ease` has a row a ground. `answers` counts findings by check and position of its line, with a column a
    finding; `answers_left` were not used. `passed_over` says why cases were not.
    """

    folds: int
    causes: tuple[EventId, ...]
    cases: int = 0
    passed_over: Counter[str] = field(default_factory=Counter)
    alike: dict[tuple[int, tuple[int, ...], tuple[float, ...]], Floats] = field(default_factory=dict)
    ease: list[Floats] = field(default_factory=list)
    answers: dict[tuple[CheckId, int], Floats] = field(default_factory=dict)
    answers_left: int = 0

    @property
    def used(self) -> int:
        """How many cases the rates are learned from."""
        return self.cases - self.passed_over.total()

    def counts(self) -> Counts:
        """All counted cases, for the rates."""
        return self._counted(lambda by_fold: by_fold.sum())

    def counts_without(self, fold: int) -> Counts:
        """The counted cases of all other folds."""
        return self._counted(lambda by_fold: by_fold.sum() - by_fold[fold])

    def counts_in(self, fold: int) -> Counts:
        """The counted cases of one fold."""
        return self._counted(lambda by_fold: by_fold[fold])

    def _counted(self, counted: Callable[[Floats], float]) -> Counts:
        ease = np.array(self.ease) if self.ease else np.zeros((0, len(self.causes)))
        found = (
            Alike(ground, causes, weights, float(counted(by_fold)))
            for (ground, causes, weights), by_fold in self.alike.items()
        )
        return Counts(ease, tuple(one for one in found if one.count > 0.0))


def tally(cases: Iterable[CaseText], grounds: Grounds, folds: int) -> Tally:
    """Count `cases`; a case belongs to the fold that its number leaves as a remainder."""
    teller = _Teller(grounds, folds)
    for number, heading, seen in cases:
        teller.take(number % folds, heading, seen)
    return teller.counted


@dataclass(frozen=True, slots=True)
class _Kind:
    """What cases with one heading have in common: their ground and the causes that they fit.

    `inside` are positions in the ground's causes, `causes` the same in the tally's.
    """

    ground: Ground
    place: int
    causes: tuple[int, ...]
    inside: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class _Cell:
    """Where an answer is counted: the array of its line, and the share of each finding."""

    counts: Floats
    found: Floats


class _Teller:
    """Counts one case after the other; everything that cases have in common is worked out once."""

    def __init__(self, grounds: Grounds, folds: int) -> None:
        self.counted = Tally(folds, tuple(grounds.library.causes))
        self._grounds = grounds
        self._columns = {cause: place for place, cause in enumerate(self.counted.causes)}
        self._kinds: dict[tuple[str, ...], _Kind | str] = {}
        self._places: dict[bytes, int] = {}
        self._cells: dict[tuple[tuple[str, ...], SeenText], _Cell | None] = {}

    def take(self, fold: int, heading: tuple[str, ...], seen: list[SeenText]) -> None:
        counted = self.counted
        counted.cases += 1
        kind = self._kinds.get(heading)
        if kind is None:
            kind = self._kinds[heading] = self._kind(*heading)
        if isinstance(kind, str):
            counted.passed_over[kind] += 1
            counted.answers_left += len(seen)
            return
        if len(kind.causes) == 1:
            self._count(fold, kind.place, kind.causes, (1.0,))
            for one in seen:
                cell = self._cell(heading, kind, one)
                if cell is None:
                    counted.answers_left += 1
                else:
                    cell.counts[fold] += cell.found
        else:
            counted.answers_left += len(seen)
            self._count(fold, kind.place, *self._weighed(kind, seen))

    def _count(self, fold: int, place: int, causes: tuple[int, ...], weights: tuple[float, ...]) -> None:
        key = (place, causes, weights)
        by_fold = self.counted.alike.get(key)
        if by_fold is None:
            by_fold = self.counted.alike[key] = np.zeros(self.counted.folds)
        by_fold[fold] += 1.0

    def _kind(
        self, machine: str, complaints: str, given: str, causes: str, confirmed: str, repair: str
    ) -> _Kind | str:
        if confirmed == Confirmed.LIKELY.value:
            return GUESSED
        alternatives = read_causes(causes)
        if any(len(together) > 1 for together in alternatives):
            return TWO
        try:
            ground = self._grounds.ground(machine, read_names(complaints), read_names(given))
        except KickoverError:
            return UNKNOWN
        possible = dict.fromkeys(cause for together in alternatives for cause in together)
        mended = self._grounds.library.repairs.get(RepairId(repair))
        if confirmed == Confirmed.REPAIR.value and mended is not None:
            possible |= dict.fromkeys(mended.cures)
        inside = tuple(ground.causes.index(EventId(one)) for one in possible if one in ground.causes)
        if not inside:
            return UNEXPLAINED
        columns = tuple(self._columns[ground.causes[place]] for place in inside)
        return _Kind(ground, self._place(ground), columns, inside)

    def _place(self, ground: Ground) -> int:
        """The row of the ground; grounds on which every cause has the same ease are one."""
        row = np.zeros(len(self._columns))
        row[[self._columns[cause] for cause in ground.causes]] = ground.ease
        key = np.round(row, 12).tobytes()
        if key not in self._places:
            self._places[key] = len(self.counted.ease)
            self.counted.ease.append(row)
        return self._places[key]

    def _weighed(self, kind: _Kind, seen: list[SeenText]) -> tuple[tuple[int, ...], tuple[float, ...]]:
        """The causes that a case fits after what was found, with their weights, the largest being 1."""
        ground = kind.ground
        known = []
        for check, weights, state in seen:
            shares = self._shares(ground, check, weights)
            houses = None if state is None else read_names(state)
            if shares is not None:
                known.append((check, shares.tolist(), ground.state(houses)))
        chance = ground.likelihood(known)[list(kind.inside)]
        largest = chance.max()
        relative = np.round(chance / largest if largest > 0.0 else np.ones_like(chance), _DIGITS)
        kept = [(cause, float(one)) for cause, one in zip(kind.causes, relative, strict=True) if one > 0.0]
        return tuple(cause for cause, _ in kept), tuple(weight for _, weight in kept)

    def _cell(self, heading: tuple[str, ...], kind: _Kind, seen: SeenText) -> _Cell | None:
        sure = ":" not in seen[1]
        key = (heading, seen)
        if sure and key in self._cells:
            return self._cells[key]
        cell = self._work_out(kind, seen)
        if sure:
            self._cells[key] = cell
        return cell

    def _work_out(self, kind: _Kind, seen: SeenText) -> _Cell | None:
        check_id, weights, state = seen
        ground = kind.ground
        shares = self._shares(ground, check_id, weights)
        if shares is None:
            return None
        check = ground.model.checks[CheckId(check_id)]
        houses = None if state is None else read_names(state)
        line = int(ground.lines(check_id, ground.state(houses))[kind.inside[0]])
        if line < 0:
            return None
        found = shares * _chances(check, line)
        if found.sum() <= 0.0:
            return None
        counts = self.counted.answers.setdefault(
            (check.id, line), np.zeros((self.counted.folds, len(check.findings)))
        )
        return _Cell(counts, found / found.sum())

    def _shares(self, ground: Ground, check_id: str, weights: str) -> Floats | None:
        """The weight of each finding of a check, or None when the library no longer has one of them."""
        check = ground.model.checks.get(CheckId(check_id))
        if check is None:
            return None
        try:
            by_name = dict(read_weights(weights))
        except CaseError:
            return None
        names = [finding.id for finding in check.findings]
        if any(name not in names for name in by_name):
            return None
        return np.array([by_name.get(name, 0.0) for name in names])


def _chances(check: Check, line: int) -> Floats:
    return np.array([check.lines[line].chances[finding.id] for finding in check.findings])
