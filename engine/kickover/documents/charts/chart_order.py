"""The order in which a chart is read: runs of steps that follow each other, with short ways out beside them.

A run goes down the page. What leaves it is drawn beside it when it is short (a repair and its proof), and
else begins a run of its own. The numbers of the steps follow, and are the same in every kind of drawing.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from kickover.documents.charts.chart import ENDS, Branch, Chart, Node, NodeKind

MOST_BESIDE = 2
"""How many steps may follow each other at the side of a run."""
MOST_IN_A_LINE = 2
"""How many findings with the same sequel share one line, so that their words can stand on it."""
MOST_EXITS = 3
"""A step with more ways out than this begins a run of its own."""
MOST_ON_THE_RUN = 3
"""How many findings may go straight on down the run."""
_BESIDE = {NodeKind.REPAIR, NodeKind.SETUP, NodeKind.PROOF}


@dataclass(frozen=True, slots=True)
class Side:
    """A way out of a run: the branches that take it (all to one target) and the steps drawn beside the run.

    Where it goes from there: the branches of the last of `steps`, or `branches` themselves without steps.
    """

    branches: tuple[Branch, ...]
    steps: tuple[Node, ...]

    @property
    def exits(self) -> tuple[Branch, ...]:
        """The branches at its end."""
        return self.steps[-1].branches if self.steps else self.branches[:1]


@dataclass(frozen=True, slots=True)
class Stage:
    """One step of a run, its ways out, and the branches to the next step of the run (none at its end)."""

    node: Node
    sides: tuple[Side, ...]
    onward: tuple[Branch, ...]

    @property
    def steps(self) -> tuple[Node, ...]:
        """The step and those beside it."""
        return (self.node, *(step for side in self.sides for step in side.steps))


Run = tuple[Stage, ...]


def runs_of(chart: Chart) -> tuple[Run, ...]:
    """Every step that can be reached, once, in runs; an end is only ever the end of a way out."""
    nodes = {node.id: node for node in chart.nodes}
    reach = _reach(nodes)
    placed: set[str] = set()
    heads = deque([chart.start])
    runs: list[Run] = []
    while heads:
        stages: list[Stage] = []
        next_id: str | None = heads.popleft()
        while next_id is not None and next_id not in placed:
            node = nodes[next_id]
            placed.add(node.id)
            onward = _main_target(node, nodes, placed, reach)
            straight = [branch for branch in node.branches if onward and branch.target == onward]
            aside = [branch for branch in node.branches if not onward or branch.target != onward]
            sides = _sides([*aside, *straight[MOST_ON_THE_RUN:]], onward, nodes, placed)
            stages.append(Stage(node, sides, tuple(straight[:MOST_ON_THE_RUN])))
            heads.extend(_beyond(sides, nodes))
            next_id = onward
        if stages:
            runs.append(tuple(stages))
    return tuple(runs)


def _main_target(
    node: Node, nodes: Mapping[str, Node], placed: set[str], reach: Mapping[str, frozenset[str]]
) -> str | None:
    """The target to go on with: no short way that comes back to another, a check, with most under it."""
    ways = {
        branch.target: None
        for branch in node.branches
        if branch.target and branch.target not in placed and nodes[branch.target].kind not in ENDS
    }

    def standing(way: str) -> tuple[bool, bool, int]:
        comes_back = any(other != way and other in reach[way] for other in ways)
        aside = comes_back and nodes[way].kind in _BESIDE
        return (not aside, nodes[way].kind is NodeKind.CHECK, len(reach[way]))

    return max(ways, key=standing) if ways else None


def _sides(
    branches: Sequence[Branch], onward: str | None, nodes: Mapping[str, Node], placed: set[str]
) -> tuple[Side, ...]:
    by_target: dict[str | None, list[Branch]] = {}
    for branch in branches:
        by_target.setdefault(branch.target, []).append(branch)
    sides: list[Side] = []
    for target, together in _in_lines(by_target):
        steps: list[Node] = []
        while target and target not in placed and target != onward and _stands_beside(nodes[target]):
            steps.append(nodes[target])
            placed.add(target)
            only = nodes[target].branches
            target = only[0].target if len(only) == 1 and len(steps) < MOST_BESIDE else None
        sides.append(Side(together, tuple(steps)))
    return tuple(sides)


def _stands_beside(node: Node) -> bool:
    return node.kind in _BESIDE and len(node.branches) <= MOST_EXITS


def _in_lines(
    by_target: Mapping[str | None, Sequence[Branch]],
) -> Iterator[tuple[str | None, tuple[Branch, ...]]]:
    for target, branches in by_target.items():
        for first in range(0, len(branches), MOST_IN_A_LINE):
            yield target, tuple(branches[first : first + MOST_IN_A_LINE])


def _beyond(sides: tuple[Side, ...], nodes: Mapping[str, Node]) -> list[str]:
    return [
        exit_.target
        for side in sides
        for exit_ in side.exits
        if exit_.target and nodes[exit_.target].kind not in ENDS
    ]


def _reach(nodes: Mapping[str, Node]) -> dict[str, frozenset[str]]:
    """The steps that can be reached from each, itself included."""
    reached: dict[str, frozenset[str]] = {}
    for id_ in nodes:
        found = {id_}
        waiting = [id_]
        while waiting:
            for branch in nodes[waiting.pop()].branches:
                if branch.target and branch.target not in found:
                    found.add(branch.target)
                    waiting.append(branch.target)
        reached[id_] = frozenset(found)
    return reached


def numbered(chart: Chart) -> Mapping[str, int]:
    """The number of each step that can be reached, from 1, in the order of reading; ends come last."""
    order: dict[str, None] = {}
    ends: dict[str, None] = {}
    kinds = {node.id: node.kind for node in chart.nodes}
    for run in runs_of(chart):
        for stage in run:
            order.update((step.id, None) for step in stage.steps)
            for branch in (*stage.node.branches, *(exit_ for side in stage.sides for exit_ in side.exits)):
                if branch.target and kinds[branch.target] in ENDS:
                    ends[branch.target] = None
    return {id_: number for number, id_ in enumerate({**order, **ends}, 1)}


def in_order(chart: Chart) -> tuple[Node, ...]:
    """The steps that can be reached, by their numbers."""
    nodes = {node.id: node for node in chart.nodes}
    return tuple(nodes[id_] for id_ in numbered(chart))
