"""The hypotheses: sets of causes, with their weak links open or not, that explain the complaint.

Every set of up to `order` causes that makes each complaint's event true is listed once for each state of
the weak links above it, with its prior weight. The last two hypotheses are "a cause that is not listed":
one that shows nothing of what is listed, and one that may show anything.
"""

from __future__ import annotations

from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from kickover.core.ids import EventId
from kickover.model.library import Library, Machine, names_in
from kickover.model.situation import with_implied
from kickover.model.truth import Bits, CompiledTree, evaluate, structure_of

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


UNLISTED = 2
"""Rows at the end that stand for the unlisted cause: it shows nothing of what is listed, or anything."""

ENDED = -1
"""The row of an engine whose complaint is gone."""


@dataclass(frozen=True, slots=True)
class Hypotheses:
    """All hypotheses for one machine, one complaint (or several at once) and one situation.

    `members` has shape (H, order): positions in `structure.causes`, -1 where there is none; the last
    `UNLISTED` rows are the unlisted cause. `open_links` has shape (links, width) packed along H. `remaining`
    has shape (H, 2^order): the row of the same engine with just the members in the binary mask left, or
    `ENDED` where the complaint is gone; nothing is ever left of the unlisted cause but itself.
    `prior` sums to 1. `scale` is the factor on the odds of each cause that gives sets of several causes
    their share.
    """

    structure: CompiledTree
    complaints: tuple[EventId, ...]
    houses: frozenset[EventId]
    members: Ints
    open_links: Bits
    remaining: Ints
    prior: Floats
    scale: float

    @property
    def count(self) -> int:
        """How many hypotheses there are, the unlisted ones included."""
        return len(self.prior)

    @property
    def width(self) -> int:
        """Bytes in a packed row."""
        return (self.count + 7) // 8

    def causes_of(self, row: int) -> tuple[EventId, ...]:
        """The causes of one hypothesis; empty for the unlisted cause."""
        return tuple(self.structure.causes[member] for member in self.members[row] if member >= 0)

    @property
    def persists(self) -> NDArray[np.uint8]:
        """Bit m is set when the complaint stays with just the members in the mask m: shape (H,)."""
        bits = 1 << np.arange(self.remaining.shape[1])
        return np.asarray((self.remaining != ENDED) @ bits, dtype=np.uint16).astype(np.uint16)

    def row_left(self, row: int, mended: AbstractSet[EventId]) -> int:
        """The row of the engine of `row` without the causes `mended`, `ENDED` where it runs."""
        mask = sum(
            1 << place
            for place, member in enumerate(self.members[row].tolist())
            if member < 0 or self.structure.causes[member] not in mended
        )
        return int(self.remaining[row, mask])

    def truth(self, houses: AbstractSet[EventId]) -> dict[EventId, Bits]:
        """The packed truth of every event in a situation.

        Under the unlisted cause nothing listed is true but the complaints themselves.
        """
        unlisted = np.zeros(self.count, dtype=bool)
        unlisted[-UNLISTED:] = True
        packed = np.packbits(unlisted)
        return evaluate(
            self.structure,
            _presence(self.structure, self.members),
            list(self.open_links),
            houses,
            dict.fromkeys(self.complaints, packed),
            self.width,
        )


def hypothesise(
    library: Library,
    machine: Machine,
    complaints: Sequence[EventId],
    given: AbstractSet[EventId] = frozenset(),
    order: int | None = None,
) -> Hypotheses:
    """List and weigh the hypotheses for `complaints` on `machine`, the house events `given` being true.

    A weight is the product of the prior odds of the causes, shifted by the house events, and of the
    chances of the links' states; sets of two and more causes are scaled together so that they have the
    library's `two_cause_share`, and the unlisted cause has its `unlisted_share`.
    """
    settings = library.settings
    largest = settings.order if order is None else order
    houses = with_implied(library, complaints, given)
    watched = dict.fromkeys(
        EventId(name)
        for check in library.checks.values()
        for line in check.lines
        for name in names_in(line.when)
    )
    structure = structure_of(library, machine, complaints, watched)
    odds = np.array([odds_of(library, cause, houses) for cause in structure.causes])
    members, states = _candidates(structure, complaints, houses, largest)
    size = (members >= 0).sum(axis=1)
    weight = np.prod(np.where(members >= 0, odds[members] if len(odds) else 1.0, 1.0), axis=1)
    weight *= _link_chances(structure, members, states)
    scale = pair_scale(
        [float(weight[size == number].sum()) for number in range(1, largest + 1)], settings.two_cause_share
    )
    weight *= scale ** (size - 1.0)
    total = weight.sum()
    share = settings.unlisted_share if total > 0 else 1.0
    unlisted = np.array([1.0 - settings.unlisted_open, settings.unlisted_open]) * share
    prior = np.concatenate([weight * ((1.0 - share) / total if total > 0 else 0.0), unlisted])
    members = np.vstack([members, np.full((UNLISTED, largest), -1, dtype=np.int64)])
    opened = np.vstack([states == 1, np.zeros((UNLISTED, len(structure.links)), dtype=bool)])
    open_links = np.packbits(opened.T, axis=1)
    remaining = _remaining(structure, members, opened[:-UNLISTED])
    return Hypotheses(structure, tuple(complaints), houses, members, open_links, remaining, prior, scale)


def pair_scale(mass_by_size: Sequence[float], share: float) -> float:
    """The factor on each cause beyond the first that gives larger sets their `share` of the weight.

    `mass_by_size` starts with the sets of one cause. Where there are only single causes, or none, the
    share cannot be met and the factor is 1.
    """
    single, larger = mass_by_size[0], list(mass_by_size[1:])
    if single <= 0.0 or not any(larger) or share <= 0.0:
        return 1.0 if share > 0.0 else 0.0

    def excess(scale: float) -> float:
        multiple = sum(mass * scale**power for power, mass in enumerate(larger, start=1))
        return multiple - share / (1.0 - share) * single

    high = 1.0
    while excess(high) < 0.0:
        high *= 2.0
    low = 0.0
    for _ in range(200):
        middle = (low + high) / 2.0
        low, high = (middle, high) if excess(middle) < 0.0 else (low, middle)
    return high


def odds_of(library: Library, cause: EventId, houses: AbstractSet[EventId]) -> float:
    """The rate of a cause, shifted by the factors of the house events that hold."""
    known = library.causes[cause]
    result = known.rate
    for house, factor in known.factors.items():
        if house in houses:
            result *= factor
    return result


def _candidates(
    structure: CompiledTree, complaints: Sequence[EventId], houses: AbstractSet[EventId], largest: int
) -> tuple[Ints, NDArray[np.int8]]:
    """Every set of causes and state of its links under which all complaints are true.

    The states have shape (H, links): 1 open, 0 shut, -1 where the link does not matter to the set.
    """
    by_links: dict[tuple[int, ...], list[tuple[int, ...]]] = {}
    reach = [structure.reach[cause] for cause in structure.causes]
    for size in range(1, largest + 1):
        for chosen in combinations(range(len(structure.causes)), size):
            above = frozenset().union(*(reach[position] for position in chosen))
            by_links.setdefault(tuple(sorted(above)), []).append(chosen)
    all_members = []
    all_states = []
    for links, sets in by_links.items():
        rows = np.array([chosen + (-1,) * (largest - len(chosen)) for chosen in sets], dtype=np.int64)
        settings = (np.arange(2 ** len(links))[:, None] >> np.arange(len(links)) & 1).astype(np.int8)
        states = np.full((len(settings), len(structure.links)), -1, dtype=np.int8)
        states[:, list(links)] = settings
        all_members.append(np.repeat(rows, len(settings), axis=0))
        all_states.append(np.tile(states, (len(rows), 1)))
    if not all_members:
        return np.zeros((0, largest), dtype=np.int64), np.zeros((0, len(structure.links)), dtype=np.int8)
    members = np.vstack(all_members)
    states = np.vstack(all_states)
    true = _complaint_true(structure, complaints, houses, members, states == 1)
    return members[true], states[true]


def _presence(structure: CompiledTree, members: Ints) -> dict[EventId, Bits]:
    table = np.zeros((len(structure.causes), len(members)), dtype=bool)
    for column in members.T:
        rows = np.flatnonzero(column >= 0)
        table[column[rows], rows] = True
    return dict(zip(structure.causes, np.packbits(table, axis=1), strict=True))


def _complaint_true(
    structure: CompiledTree,
    complaints: Sequence[EventId],
    houses: AbstractSet[EventId],
    members: Ints,
    opened: NDArray[np.bool_],
) -> NDArray[np.bool_]:
    count = len(members)
    present = _presence(structure, members)
    width = (count + 7) // 8
    truth = evaluate(structure, present, list(np.packbits(opened.T, axis=1)), houses, {}, width)
    result = np.full(width, 255, dtype=np.uint8)
    for complaint in complaints:
        result &= truth.get(complaint, np.zeros(width, dtype=np.uint8))
    return np.unpackbits(result, count=count).astype(bool)


def _link_chances(structure: CompiledTree, members: Ints, states: NDArray[np.int8]) -> Floats:
    result = np.ones(len(members))
    for position, link in enumerate(structure.links):
        column = states[:, position]
        result *= np.where(column == 1, link.chance, np.where(column == 0, 1.0 - link.chance, 1.0))
    return result


def _remaining(structure: CompiledTree, members: Ints, opened: NDArray[np.bool_]) -> Ints:
    """For each hypothesis and each mask of its members, the row with just those left, or `ENDED`.

    An engine with some causes mended is the engine that has only the others, with the links above them as
    they are; it is listed exactly when the complaint stays. Rows are found by a hash: two that differ share
    it with a chance of about one in 10^19.
    """
    count, largest = len(members) - UNLISTED, members.shape[1]
    words = _words(opened)
    above = np.zeros((len(structure.causes) + 1, len(structure.links)), dtype=bool)
    for row, cause in enumerate(structure.causes):
        above[row, list(structure.reach[cause])] = True
    reach = _words(above)
    causes = len(structure.causes)
    factors = mixing_factors(causes + words.shape[1])
    of_cause, of_word = np.append(factors[:causes], np.uint64(0)), factors[causes:]
    listed = members[:count]

    def codes(mask: int) -> NDArray[np.uint64]:
        code = np.zeros(count, dtype=np.uint64)
        reached = np.zeros_like(words)
        for place in range(largest):
            if mask >> place & 1:
                code += of_cause[listed[:, place]]
                reached |= reach[listed[:, place]]
        return np.asarray(code + (words & reached) @ of_word)

    result = np.full((len(members), 2**largest), ENDED, dtype=np.int64)
    whole = codes(2**largest - 1)
    order = np.argsort(whole, kind="stable")
    ordered = whole[order]
    for mask in range(1, 2**largest):
        code = codes(mask)
        place = np.minimum(np.searchsorted(ordered, code), max(count - 1, 0))
        result[:count, mask] = np.where(ordered[place] == code, order[place], ENDED) if count else ENDED
    result[count:] = np.arange(count, len(members))[:, None]
    return result


def _words(flags: NDArray[np.bool_]) -> NDArray[np.uint64]:
    """Rows of flags, packed into words of 64."""
    packed = np.packbits(flags, axis=1)
    wide = np.zeros((len(flags), -(-max(packed.shape[1], 1) // 8) * 8), dtype=np.uint8)
    wide[:, : packed.shape[1]] = packed
    return wide.view(np.uint64)


def mixing_factors(count: int) -> NDArray[np.uint64]:
    """Odd numbers of 64 bits without a pattern: the mixing function of Steele, Lea and Flood (2014)."""
    state = np.arange(1, count + 1, dtype=np.uint64) * np.uint64(0x9E3779B97F4A7C15)
    state = (state ^ (state >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    state = (state ^ (state >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    return np.asarray((state ^ (state >> np.uint64(31))) | np.uint64(1))
