"""Minimal cut sets and the two classic approximations, a way to a tree's probability other than its diagram.

A minimal cut set is a smallest set of basic events that is enough to bring the top event about (IEC 61025).
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping
from itertools import chain

from reference.votes_tree import FaultTree, basic_events, checked_probabilities, gates_under_top


def minimal_cut_sets(tree: FaultTree, *, max_order: int | None = None) -> tuple[frozenset[str], ...]:
    """Find the minimal cut sets of the top event, those of the lowest order first, then by names.

    With `max_order`, only sets of at most that many events are found; longer ones are dropped as soon as
    they arise, which is safe because a coherent gate never makes a set shorter. Without it the number of
    sets, and so the time, can grow exponentially with the tree.

    The sets of a gate are combined from those of its inputs, from the bottom up, each gate once; this is the
    method of Fussell & Vesely ("A new methodology for obtaining cut sets for fault trees", Trans. American
    Nuclear Society 15, 1972) turned upside down, so that what a gate shares with another is not redone.
    """
    events = basic_events(tree)
    limit = len(events) if max_order is None else max_order
    found = {event: [1 << place] if limit > 0 else [] for place, event in enumerate(events)}
    for name in gates_under_top(tree):
        gate = tree.gates[name]
        found[name] = _cut_sets_of_votes(gate.needed, [found[each] for each in gate.inputs], limit)
    named = (frozenset(events[place] for place in _places(mask)) for mask in found[tree.top])
    return tuple(sorted(named, key=lambda cut_set: (len(cut_set), sorted(cut_set))))


def _cut_sets_of_votes(needed: int, inputs: list[list[int]], limit: int) -> list[int]:
    if needed == 1:
        return _without_supersets(chain.from_iterable(inputs))
    return _by_votes(inputs, needed, needed, limit)[needed]


def _by_votes(inputs: list[list[int]], fewest: int, most: int, limit: int) -> dict[int, list[int]]:
    """Give, for each j from `fewest` to `most`, the minimal masks that make at least j of `inputs` true.

    Halving the inputs keeps the intermediate lists short, and the depth at the logarithm of their number.
    """
    if len(inputs) == 1:
        one_input = {0: [0], 1: inputs[0]}
        return {votes: one_input[votes] for votes in range(fewest, most + 1)}
    half = len(inputs) // 2
    rest = len(inputs) - half
    first = _by_votes(inputs[:half], max(0, fewest - rest), min(half, most), limit)
    second = _by_votes(inputs[half:], max(0, fewest - half), min(rest, most), limit)
    return {
        votes: _without_supersets(
            mask
            for votes_of_first in first
            if votes - votes_of_first in second
            for mask in _both(first[votes_of_first], second[votes - votes_of_first], limit)
        )
        for votes in range(fewest, most + 1)
    }


def _both(first: list[int], second: list[int], limit: int) -> Iterator[int]:
    """Give masks, not all of them minimal, that each make one of `first` and one of `second` true.

    A mask of one side that already contains one of the other is an answer as it is, and every union with it
    would only be a superset; where sides share gates, this leaves few to unite.
    """
    any_of_first, any_of_second = set(first), set(second)
    open_first = [mask for mask in first if not _contains_any(mask, any_of_second)]
    open_second = [mask for mask in second if not _contains_any(mask, any_of_first)]
    yield from any_of_first.difference(open_first)
    yield from any_of_second.difference(open_second)
    yield from _unions(open_first, open_second, limit)


def _unions(first: list[int], second: list[int], limit: int) -> Iterator[int]:
    """Unite every mask of `first` with every one of `second`, as far as the union stays within `limit`.

    Two that are too long together can still fit when they share events, so those are looked up by event.
    """
    by_order: dict[int, list[int]] = defaultdict(list)
    by_event: dict[int, list[int]] = defaultdict(list)
    longest = max((mask.bit_count() for mask in first), default=0)
    for mask in second:
        by_order[mask.bit_count()].append(mask)
        if mask.bit_count() + longest > limit:
            for place in _places(mask):
                by_event[place].append(mask)
    for mask in first:
        room = limit - mask.bit_count()
        for order, others in by_order.items():
            if order <= room:
                yield from (mask | other for other in others)
        for place in _places(mask):
            for other in by_event.get(place, ()):
                if other.bit_count() > room and (mask | other).bit_count() <= limit:
                    yield mask | other


def _without_supersets(masks: Iterable[int]) -> list[int]:
    """Keep the masks that contain no other one."""
    by_order: dict[int, set[int]] = defaultdict(set)
    for mask in masks:
        by_order[mask.bit_count()].add(mask)
    kept: set[int] = set()
    for order in sorted(by_order):
        kept.update([mask for mask in by_order[order] if not _contains_any(mask, kept)])
    return list(kept)


def _contains_any(mask: int, others: set[int]) -> bool:
    """Tell whether one of `others` is a part of `mask`, or all of it, by whichever search is the shorter."""
    if len(others) < 1 << mask.bit_count():
        return any(mask & other == other for other in others)
    part = mask
    while part and part not in others:
        part = (part - 1) & mask
    return part != 0


def _places(mask: int) -> Iterator[int]:
    while mask:
        lowest = mask & -mask
        yield lowest.bit_length() - 1
        mask ^= lowest


def rare_event_sum(cut_sets: Iterable[Collection[str]], q: Mapping[str, float]) -> float:
    """Add up the probabilities of the cut sets; never below the exact value when all minimal ones are given.

    The rare-event approximation of NUREG-0492 (1981): close while every probability is small, and over 1
    when they are not. Raises `ProbabilityError`.
    """
    return math.fsum(_cut_set_probabilities(cut_sets, q))


def min_cut_upper_bound(cut_sets: Iterable[Collection[str]], q: Mapping[str, float]) -> float:
    """Give the probability that any cut set comes true if they had no events in common.

    For a coherent tree with independent events this lies between the exact value and the rare-event sum
    (Esary & Proschan, "Coherent structures of non-identical components", Technometrics 5, 1963).
    Raises `ProbabilityError`.
    """
    probabilities = _cut_set_probabilities(cut_sets, q)
    if 1 in probabilities:
        return 1.0
    return -math.expm1(math.fsum(math.log1p(-each) for each in probabilities))


def _cut_set_probabilities(cut_sets: Iterable[Collection[str]], q: Mapping[str, float]) -> list[float]:
    return [math.prod(checked_probabilities(sorted(cut_set), q).values()) for cut_set in cut_sets]
