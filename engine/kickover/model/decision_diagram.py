"""Exact probabilities of a compiled tree, by way of a binary decision diagram.

A binary decision diagram asks for one basic event after the other and shares every question that comes up
twice; on it, what would take 2^n cases takes one pass over the nodes (A. Rauzy, "New algorithms for fault
trees analysis", Reliability Engineering & System Safety 40, 1993). Causes, weak links and house events are
basic events here, and independent. Nothing is cut off or approximated; a tree whose diagram grows past a
limit is refused instead.

Our own code, because `dd` recurses once an event (deep trees end in a RecursionError) and complements its
edges, which the pass that counts true events would have to undo.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kickover.core.ids import EventId
from kickover.core.problem import KickoverError
from kickover.model.truth import CompiledTree

Pair = tuple[int, int]
Basic = EventId | int
"""A cause or house event, or the position of a weak link."""

FALSE, TRUE = 0, 1
NODE_LIMIT = 1_000_000


class DiagramTooLargeError(KickoverError):
    """A decision diagram that would need more nodes than it may have."""


class ImpossibleTopError(KickoverError):
    """A top event that has the probability 0, so that nothing can be said given that it came about."""


@dataclass(frozen=True, slots=True)
class DecisionDiagram:
    """A fault tree as questions on its basic events.

    Nodes are counted from 0, `FALSE`, and 1, `TRUE`; any other node asks for `events[level[node]]` and goes
    on to `high[node]` if that event is true, to `low[node]` if not. Both have lower numbers than the node
    itself, and higher levels; the two ends have the level `len(events)`. `root` is where to start.
    """

    events: tuple[Basic, ...]
    level: tuple[int, ...]
    low: tuple[int, ...]
    high: tuple[int, ...]
    root: int

    def nodes(self) -> range:
        """Count the nodes that ask something, each after both nodes that it leads to."""
        return range(2, len(self.level))


def decision_diagram(
    tree: CompiledTree, tops: Sequence[EventId], *, node_limit: int = NODE_LIMIT
) -> DecisionDiagram:
    """Build the reduced decision diagram of all of `tops` being true, basic events as a walk down meets them.

    Raises `DiagramTooLargeError` when building it takes more than `node_limit` nodes, intermediate ones
    included; the number grows exponentially in the worst case.
    """
    gates = {gate.event: gate.inputs if gate.needed <= len(gate.inputs) else () for gate in tree.gates}
    met: dict[Basic, None] = {}
    waiting: list[Basic] = list(reversed(tops))
    while waiting:
        if (event := waiting.pop()) not in met:
            met[event] = None
            if event in gates:
                for below, link in reversed(gates[event]):
                    waiting += (below,) if link < 0 else (link, below)
    events = tuple(event for event in met if event not in gates)
    builder = _Builder(len(events), node_limit)
    built: dict[Basic, int] = {event: builder.node(level, FALSE, TRUE) for level, event in enumerate(events)}
    for gate in tree.gates:
        if gate.event in met:
            inputs = [
                built[event] if link < 0 else builder.votes(2, [built[event], built[link]])
                for event, link in gates[gate.event]
            ]
            built[gate.event] = builder.votes(gate.needed, inputs) if inputs else FALSE
    return builder.finished(events, builder.votes(len(tops), [built[top] for top in tops]))


def probability_by_order(
    diagram: DecisionDiagram, chance: Sequence[float], counted: Sequence[bool], max_order: int
) -> Mapping[int, float]:
    """Give the share of P(TOP) that has exactly 1, 2, … `max_order` of the counted basic events true.

    `chance` is that of each event of the diagram. One minus their sum is what is lost by looking at no more
    than `max_order` coincident events. Each node carries a polynomial in the number of true events, so the
    cost is that of one pass, not of enumeration. Raises `ImpossibleTopError` when the top event has
    probability 0.
    """
    top = possible_top(diagram, chance)
    counts = _CountsByOrder(chance, counted, max_order)
    below = [[0.0] * (max_order + 1), [1.0] + [0.0] * max_order]
    for node in diagram.nodes():
        level = diagram.level[node]
        low, high = (
            counts.over_skipped(below[child], level + 1, diagram.level[child])
            for child in (diagram.low[node], diagram.high[node])
        )
        below.append(counts.decided(level, low, high))
    shares = counts.over_skipped(below[diagram.root], 0, diagram.level[diagram.root])
    return {order: shares[order] / top for order in range(1, max_order + 1)}


def probability_below(diagram: DecisionDiagram, chance: Sequence[float]) -> list[float]:
    """The probability of `TRUE` from each node on."""
    below = [0.0, 1.0]
    for node in diagram.nodes():
        true = chance[diagram.level[node]]
        below.append((1 - true) * below[diagram.low[node]] + true * below[diagram.high[node]])
    return below


def possible_top(diagram: DecisionDiagram, chance: Sequence[float]) -> float:
    """The probability of the top event. Raises `ImpossibleTopError` where it is 0."""
    top = probability_below(diagram, chance)[diagram.root]
    if top == 0:
        raise ImpossibleTopError(
            "the top event cannot come about with these probabilities; give its events some above 0"
        )
    return top


class _CountsByOrder:
    """Polynomials whose coefficient n is the probability of n true events, cut after `max_order`."""

    def __init__(self, chance: Sequence[float], counted: Sequence[bool], max_order: int) -> None:
        self._chance = chance
        self._counted = counted
        self._size = max_order + 1
        self._skipped: dict[tuple[int, int], list[float]] = {}

    def decided(self, level: int, low: list[float], high: list[float]) -> list[float]:
        true = self._chance[level]
        raised = [0.0, *high] if self._counted[level] else high
        return [(1 - true) * low[order] + true * raised[order] for order in range(self._size)]

    def over_skipped(self, counts: list[float], start: int, end: int) -> list[float]:
        """Let the events from level `start` up to `end` be true or false as they like."""
        if start == end:
            return counts
        free = self._free(start, end)
        return [
            sum(free[taken] * counts[order - taken] for taken in range(order + 1))
            for order in range(self._size)
        ]

    def _free(self, start: int, end: int) -> list[float]:
        known = start
        while known < end and (known, end) not in self._skipped:
            known += 1
        free = self._skipped.get((known, end), [1.0] + [0.0] * (self._size - 1))
        for level in reversed(range(start, known)):
            free = self._skipped[level, end] = self.decided(level, free, free)
        return free


class _Builder:
    """The tables of a diagram under construction: each node once, and each combination once."""

    def __init__(self, events: int, node_limit: int) -> None:
        self._level = [events, events]
        self._low = [FALSE, TRUE]
        self._high = [FALSE, TRUE]
        self._numbers: dict[tuple[int, int, int], int] = {}
        self._conjunctions: dict[Pair, int] = {}
        self._disjunctions: dict[Pair, int] = {}
        self._node_limit = node_limit

    def node(self, level: int, low: int, high: int) -> int:
        if low == high:
            return low
        number = self._numbers.setdefault((level, low, high), len(self._level))
        if number == len(self._level):
            self._refuse_above_limit(number)
            self._level.append(level)
            self._low.append(low)
            self._high.append(high)
        return number

    def votes(self, needed: int, inputs: list[int]) -> int:
        """Join inputs into a gate; `enough[j]` is true when at least j of the inputs seen so far are.

        The deepest inputs come first, so that the next one lies on top and little is walked through.
        """
        enough = [TRUE] + [FALSE] * needed
        for seen, number in enumerate(sorted(inputs, key=self._level.__getitem__, reverse=True), start=1):
            fewest = max(1, needed - (len(inputs) - seen))
            for votes in range(min(needed, seen), fewest - 1, -1):
                enough[votes] = self._either(enough[votes], self._both(enough[votes - 1], number))
        return enough[needed]

    def finished(self, events: tuple[Basic, ...], root: int) -> DecisionDiagram:
        """Leave out whatever the root does not reach, and number the rest anew."""
        reached = {FALSE, TRUE, root}
        for number in range(root, TRUE, -1):
            if number in reached:
                reached.update((self._low[number], self._high[number]))
        anew = {number: place for place, number in enumerate(sorted(reached))}
        return DecisionDiagram(
            events=events,
            level=tuple(self._level[number] for number in anew),
            low=tuple(anew[self._low[number]] for number in anew),
            high=tuple(anew[self._high[number]] for number in anew),
            root=anew[root],
        )

    def _both(self, first: int, second: int) -> int:
        return self._combined(_ordered(first, second), self._conjunctions, decisive=FALSE, idle=TRUE)

    def _either(self, first: int, second: int) -> int:
        return self._combined(_ordered(first, second), self._disjunctions, decisive=TRUE, idle=FALSE)

    def _combined(self, wanted: Pair, known: dict[Pair, int], *, decisive: int, idle: int) -> int:
        """Combine two diagrams by and or by or: find pairs of nodes from the top, solve them from below.

        `decisive` is the end that settles the outcome alone, `idle` the one that changes nothing. Nothing
        here calls itself, so the depth of a diagram does not matter.
        """

        def settled(pair: Pair) -> int | None:
            first, second = pair
            if first in (second, decisive) or second == idle:
                return first
            if second == decisive or first == idle:
                return second
            return known.get(pair)

        waiting, open_pairs = [wanted], dict[Pair, tuple[int, Pair, Pair]]()
        while waiting:
            pair = waiting.pop()
            if pair in open_pairs or settled(pair) is not None:
                continue
            level, low, high = open_pairs[pair] = self._branches(*pair)
            self._refuse_above_limit(len(open_pairs))
            waiting += (low, high)
        deepest_first = sorted(open_pairs.items(), key=lambda item: item[1][0], reverse=True)
        for pair, (level, low, high) in deepest_first:
            known[pair] = self.node(level, _given(settled(low)), _given(settled(high)))
        return _given(settled(wanted))

    def _branches(self, first: int, second: int) -> tuple[int, Pair, Pair]:
        """Ask for the upper of two events: its level, and the pair to go on with after no and after yes."""
        level = min(self._level[first], self._level[second])
        first_low, first_high = self._sides(first, level)
        second_low, second_high = self._sides(second, level)
        return level, _ordered(first_low, second_low), _ordered(first_high, second_high)

    def _sides(self, number: int, level: int) -> Pair:
        return (self._low[number], self._high[number]) if self._level[number] == level else (number, number)

    def _refuse_above_limit(self, count: int) -> None:
        if count > self._node_limit:
            raise DiagramTooLargeError(
                f"the decision diagram of this tree needs more than {self._node_limit} nodes; "
                f"split the tree, or share fewer events between its branches"
            )


def _ordered(first: int, second: int) -> Pair:
    return (first, second) if first < second else (second, first)


def _given(number: int | None) -> int:
    assert number is not None, "pairs are solved from the deepest level up"
    return number
