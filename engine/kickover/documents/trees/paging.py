"""How a fault tree is cut into pages by branches: which gates are drawn with their inputs, and on which page.

A page has its top event and up to three levels below it. A branch that does not fit goes on a page of its
own, and so does one that several gates share; short pages share a sheet. Pure reasoning over sizes; it
knows nothing of symbols.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass

from kickover.core.ids import EventId
from kickover.documents.trees.branches import Branches, reach
from kickover.model.library import Input

MOST_LEVELS = 3
"""Levels of events below the top of a page."""
_SMALL = 7
"""A shared branch with no more events than this is drawn wherever it stands."""

Height = Callable[[Input, int], float]
"""How high an input is drawn on a page of so many levels, in points."""


@dataclass(frozen=True, slots=True)
class BranchPage:
    """One page: the inputs of `top` that stand on it, and which gates are `drawn` with their own inputs.

    `top` is None for the several tops of a named tree. `part` counts the pages of one top from 1, of `parts`.
    """

    top: EventId | None
    inputs: tuple[Input, ...]
    drawn: frozenset[EventId]
    levels: int
    part: int = 1
    parts: int = 1

    def is_drawn(self, event: EventId, level: int) -> bool:
        """Whether the gate `event` has its own inputs beside it where it stands at `level`."""
        return event in self.drawn and level < self.levels


def branch_pages(
    branches: Branches, tops: Sequence[EventId], height: Height, room: Callable[[EventId | None], float]
) -> tuple[BranchPage, ...]:
    """The pages of all that lies under `tops`, the first with the tops, each other with one branch.

    `room` is the height that is left below the top event of a page.
    """
    own_page = _shared(branches, tops)
    single = tops[0] if len(tops) == 1 else None
    made: list[BranchPage] = []
    waiting: list[EventId | None] = [single]
    for top in waiting:
        inputs = branches.inputs.get(top, ()) if top else tuple(Input(one) for one in tops)
        groups = _parts(inputs, height, room(top))
        for number, group in enumerate(groups, start=1):
            levels, drawn = _best(branches, group, own_page, height, room(top))
            page = BranchPage(top, group, drawn, levels, number, len(groups))
            made.append(page)
            waiting += [one for one in transfers_of(branches, page) if one not in waiting]
    return tuple(made)


def first_fit(
    pages: Sequence[BranchPage], highs: Sequence[float], room: float, apart: float
) -> list[list[BranchPage]]:
    """The branches on as few sheets as that rule gives: each on the first sheet with so much `room` left."""
    sheets: list[list[BranchPage]] = []
    left: list[float] = []
    for page, high in zip(pages, highs, strict=True):
        place = next((number for number, free in enumerate(left) if free >= high), len(sheets))
        if place == len(sheets):
            sheets.append([])
            left.append(room)
        sheets[place].append(page)
        left[place] -= high + apart
    return sheets


def transfers_of(branches: Branches, page: BranchPage) -> tuple[EventId, ...]:
    """The gates on a page that go on elsewhere, in the order in which they stand."""
    found = (one for one, _ in rows_of(branches, page) if branches.is_gate(one.event))
    return tuple(dict.fromkeys(one.event for one in found if one.event not in page.drawn))


def rows_of(branches: Branches, page: BranchPage) -> Iterator[tuple[Input, int]]:
    """Everything below the top of a page with its level from 1, each input right after its gate."""

    def under(inputs: Sequence[Input], level: int) -> Iterator[tuple[Input, int]]:
        for one in inputs:
            yield one, level
            if page.is_drawn(one.event, level):
                yield from under(branches.inputs[one.event], level + 1)

    yield from under(page.inputs, 1)


def _shared(branches: Branches, tops: Sequence[EventId]) -> frozenset[EventId]:
    parents: dict[EventId, int] = {}
    for event in reach(branches, tops, frozenset()):
        for one in branches.inputs.get(event, ()):
            parents[one.event] = parents.get(one.event, 0) + 1
    return frozenset(
        event
        for event, count in parents.items()
        if count > 1 and branches.is_gate(event) and len(reach(branches, [event], frozenset())) > _SMALL
    )


def _parts(inputs: Sequence[Input], height: Height, room: float) -> list[tuple[Input, ...]]:
    """The inputs in as few groups as fit a page, none of them with anything below it."""
    groups: list[list[Input]] = [[]]
    used = 0.0
    for one in inputs:
        high = height(one, 1)
        if groups[-1] and used + high > room:
            groups.append([])
            used = 0.0
        groups[-1].append(one)
        used += high
    return [tuple(group) for group in groups]


def _best(
    branches: Branches,
    inputs: Sequence[Input],
    own_page: AbstractSet[EventId],
    height: Height,
    room: float,
) -> tuple[int, frozenset[EventId]]:
    """The number of levels with which most gates are drawn whole; the fewest of these."""
    found: list[tuple[int, int, frozenset[EventId]]] = []
    for levels in range(1, MOST_LEVELS + 1):
        drawn = _drawn(branches, inputs, own_page, height, room, levels)
        if levels > 1 and sum(height(one, levels) for one in inputs) > room:
            continue
        found.append((-len(drawn), levels, drawn))
    _, levels, drawn = min(found, key=lambda one: one[:2])
    return levels, drawn


def _drawn(
    branches: Branches,
    inputs: Sequence[Input],
    own_page: AbstractSet[EventId],
    height: Height,
    room: float,
    levels: int,
) -> frozenset[EventId]:
    """Gates that are drawn with their inputs: level by level, small branches first, as long as they fit."""
    drawn: set[EventId] = set()

    def high(one: Input, level: int = 1) -> float:
        onward = branches.inputs[one.event] if one.event in drawn and level < levels else ()
        return max(height(one, levels), sum(high(below, level + 1) for below in onward))

    here = [one.event for one in inputs]
    for _ in range(1, levels):
        gates = dict.fromkeys(event for event in here if branches.is_gate(event) and event not in own_page)
        for gate in sorted(gates, key=lambda event: len(reach(branches, [event], frozenset()))):
            drawn.add(gate)
            if sum(map(high, inputs)) > room:
                drawn.discard(gate)
        here = [one.event for gate in gates if gate in drawn for one in branches.inputs[gate]]
    return frozenset(drawn)
