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
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from kickover.core.ids import CheckId, EventId, RepairId
from kickover.core.problem import KickoverError
from kickover.inference.hypotheses import Floats
from kickover.learning.case import CaseError, Confirmed
from kickover.learning.likely_causes import Ground, Grounds
from kickover.learning.notation import read_causes, read_names, read_weights
from kickover.learning.rates import Alike, Counts, rounded
from kickover.learning.rows import CaseText

GUESSED = "the cause was only the likeliest one"
TWO = "two causes at once"
UNEXPLAINED = "the cause does not bring that complaint in this library"
AGAIN = "the same case once more, of the same day and import"
UNKNOWN = "the library lacks the machine, the complaint or the situation"

LEAST_WEIGHT = 1e-3
"""A cause that fits a case so much worse than the best one is left out."""


@dataclass(slots=True)
class Tally:
    """The counts, each an array whose first axis is the fold.

    `alike` counts cases by ground, the positions in `causes` that they fit, and the weight of each;
    `ease` has a row a ground. `answers` counts findings by check and position of its line, with a column a
    finding; `answers_left` were not used. `passed_over` says why cases were not. `origins` has for each
    position in `causes` the imports that its cases came with.
    """

    folds: int
    causes: tuple[EventId, ...]
    cases: int = 0
    passed_over: Counter[str] = field(default_factory=Counter)
    alike: dict[tuple[int, tuple[int, ...], tuple[float, ...]], Floats] = field(default_factory=dict)
    ease: list[Floats] = field(default_factory=list)
    answers: dict[tuple[CheckId, int], Floats] = field(default_factory=dict)
    answers_left: int = 0
    origins: dict[int, set[str]] = field(default_factory=dict)

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
        return Counts(ease, tuple(alike for alike in found if alike.count > 0.0))


TELLING = 3
"""A case with so many checks is no chance double of another of its day and import."""

FREE_OF_CAP = 20
"""An import of no more cases than this always counts in full."""


def origin_weights(origins: Mapping[str, int], trusted: Collection[str] = ()) -> dict[str, float]:
    """What one case of each import counts: an import counts no more than all other cases together.

    Cases written down here (origin "") and those of `trusted` imports count in full.
    """
    whole = sum(origins.values())
    return {
        origin: min(1.0, max(FREE_OF_CAP, whole - count) / count) if origin and origin not in trusted else 1.0
        for origin, count in origins.items()
    }


def tally(
    cases: Iterable[CaseText], grounds: Grounds, folds: int, weights: Mapping[str, float] | None = None
) -> Tally:
    """Count `cases`; a case belongs to the fold that its number leaves as a remainder.

    `weights` say what a case of each import counts. What is there twice to the letter counts once.
    """
    teller = _Teller(grounds, folds)
    known: set[int] = set()
    for case in cases:
        content = hash((case.origin, case.date, case.heading, tuple(case.seen)))
        if case.origin and len(case.seen) >= TELLING and content in known:
            teller.counted.cases += 1
            teller.counted.passed_over[AGAIN] += 1
            continue
        known.add(content)
        teller.take(case, (weights or {}).get(case.origin, 1.0))
    return teller.told()


@dataclass(frozen=True, slots=True)
class _Kind:
    """What cases with one heading have in common: their ground and the causes that they fit.

    `inside` are positions in the ground's causes, `causes` the same in the tally's. `number` tells grounds
    apart.
    """

    ground: Ground
    number: int
    place: int
    causes: tuple[int, ...]
    inside: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class _Asked:
    """One check on one ground in one state: its line for each cause (-1: undecided), and its findings.

    `counts` has for each line the array in which its answers are counted, `chances` the library's.
    """

    lines: Sequence[int]
    findings: Mapping[str, int]
    counts: Sequence[Floats]
    chances: Sequence[Floats]


class _Teller:
    """Counts one case after the other; everything that cases have in common is worked out once."""

    def __init__(self, grounds: Grounds, folds: int) -> None:
        self.counted = Tally(folds, tuple(grounds.library.causes))
        self._grounds = grounds
        self._columns = {cause: place for place, cause in enumerate(self.counted.causes)}
        self._kinds: dict[tuple[str, ...], _Kind | str] = {}
        self._places: dict[bytes, int] = {}
        self._asked: dict[tuple[int, str, str | None], _Asked | None] = {}
        self._tables: dict[CheckId, tuple[Mapping[str, int], Sequence[Floats], Sequence[Floats]]] = {}

    def told(self) -> Tally:
        """The counts, with the lines of checks that had answers."""
        for check, (_, counts, _) in self._tables.items():
            self.counted.answers |= {(check, line): count for line, count in enumerate(counts) if count.any()}
        return self.counted

    def take(self, case: CaseText, worth: float) -> None:
        fold, heading, seen = case.number % self.counted.folds, case.heading, case.seen
        counted = self.counted
        counted.cases += 1
        kind = self._kinds.get(heading)
        if kind is None:
            kind = self._kinds[heading] = self._kind(*heading)
        if isinstance(kind, str):
            counted.passed_over[kind] += 1
            counted.answers_left += len(seen)
            return
        for cause in kind.causes:
            counted.origins.setdefault(cause, set()).add(case.origin)
        if len(kind.causes) == 1:
            self._count(fold, worth, kind.place, kind.causes, (1.0,))
            for check, weights, state in seen:
                self._answer(fold, worth, kind, check, weights, state)
        else:
            counted.answers_left += len(seen)
            self._count(fold, worth, kind.place, *self._weighed(kind, seen))

    def _count(
        self, fold: int, worth: float, place: int, causes: tuple[int, ...], weights: tuple[float, ...]
    ) -> None:
        key = (place, causes, weights)
        by_fold = self.counted.alike.get(key)
        if by_fold is None:
            by_fold = self.counted.alike[key] = np.zeros(self.counted.folds)
        by_fold[fold] += worth

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
        inside = tuple(ground.causes.index(EventId(cause)) for cause in possible if cause in ground.causes)
        if not inside:
            return UNEXPLAINED
        columns = tuple(self._columns[ground.causes[place]] for place in inside)
        return _Kind(ground, id(ground), self._place(ground), columns, inside)

    def _place(self, ground: Ground) -> int:
        """The row of the ground; grounds on which every cause has the same ease are one."""
        row = np.zeros(len(self._columns))
        row[[self._columns[cause] for cause in ground.causes]] = ground.ease
        key = np.round(row, 12).tobytes()
        if key not in self._places:
            self._places[key] = len(self.counted.ease)
            self.counted.ease.append(row)
        return self._places[key]

    def _weighed(
        self, kind: _Kind, seen: list[tuple[str, str, str | None]]
    ) -> tuple[tuple[int, ...], tuple[float, ...]]:
        """The causes that a case fits after what was found, with their weights, the largest being 1."""
        ground = kind.ground
        known = []
        for check_id, weights, state in seen:
            check = ground.model.checks.get(CheckId(check_id))
            if check is None:
                continue
            shares = _shares({finding.id: place for place, finding in enumerate(check.findings)}, weights)
            houses = None if state is None else read_names(state)
            if shares is not None:
                known.append((check_id, shares.tolist(), ground.state(houses)))
        chance = ground.likelihood(known)[list(kind.inside)]
        largest = chance.max()
        if largest <= 0.0:
            return kind.causes, (1.0,) * len(kind.causes)
        kept = [
            (cause, rounded(weight))
            for cause, weight in zip(kind.causes, (chance / largest).tolist(), strict=True)
            if weight >= LEAST_WEIGHT
        ]
        return tuple(cause for cause, _ in kept), tuple(weight for _, weight in kept)

    def _answer(
        self, fold: int, worth: float, kind: _Kind, check: str, weights: str, state: str | None
    ) -> None:
        key = (kind.number, check, state)
        if key not in self._asked:
            self._asked[key] = self._ask(kind.ground, check, state)
        asked = self._asked[key]
        line = -1 if asked is None else asked.lines[kind.inside[0]]
        if asked is None or line < 0:
            self.counted.answers_left += 1
        elif (place := asked.findings.get(weights)) is not None:
            asked.counts[line][fold, place] += worth
        else:
            shares = _shares(asked.findings, weights)
            found = None if shares is None else shares * asked.chances[line]
            if found is None or found.sum() <= 0.0:
                self.counted.answers_left += 1
            else:
                asked.counts[line][fold] += worth * found / found.sum()

    def _ask(self, ground: Ground, check_id: str, state: str | None) -> _Asked | None:
        check = ground.model.checks.get(CheckId(check_id))
        if check is None:
            return None
        houses = None if state is None else read_names(state)
        if check.id not in self._tables:
            names = [finding.id for finding in check.findings]
            self._tables[check.id] = (
                {name: place for place, name in enumerate(names)},
                [np.zeros((self.counted.folds, len(names))) for _ in check.lines],
                [np.array([line.chances[name] for name in names]) for line in check.lines],
            )
        return _Asked(ground.lines(check_id, ground.state(houses)).tolist(), *self._tables[check.id])


def _shares(findings: Mapping[str, int], weights: str) -> Floats | None:
    """The weight of each finding, or None when one of them is not a finding of the check."""
    try:
        pairs = read_weights(weights)
    except CaseError:
        return None
    if any(name not in findings for name, _ in pairs):
        return None
    shares = np.zeros(len(findings))
    for name, weight in pairs:
        shares[findings[name]] = weight
    return shares
