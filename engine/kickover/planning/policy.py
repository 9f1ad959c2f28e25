"""A whole policy: the decision graph of next steps, from the complaint down to repairs and proofs.

The compiler knows only positions that say what is done there and what may come of it, so it follows exactly
the steps that a walk would take. Equal subtrees become one node; what is too rare or too deep is cut off,
with its probability.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass
from typing import Generic, TypeVar

P = TypeVar("P")
"""A position of a walk, whatever the caller takes for one."""


@dataclass(frozen=True, slots=True)
class PolicyOutcome(Generic[P]):
    """One thing that may come of a step: its name, its probability, the position after it.

    `after` is None where the policy ends: solved, or given up.
    """

    name: str
    probability: float
    after: P | None


@dataclass(frozen=True, slots=True)
class PolicyMove(Generic[P]):
    """What is done in a position: `step` tells steps apart, `minutes` it takes, and its outcomes.

    `solves` are the names of outcomes that end in a confirmed repair. A move without outcomes is an end.
    """

    step: Hashable
    minutes: float
    outcomes: tuple[PolicyOutcome[P], ...]
    solves: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class PolicyBranch:
    """A way on from a node: the outcome's name, its share of all walks, and the node that it leads to.

    `target` is None where the outcome ends the policy.
    """

    name: str
    share: float
    target: int | None


@dataclass(frozen=True, slots=True)
class PolicyNode:
    """One step of a policy, with the share of all walks that come to it.

    `step` is None for a node where the policy was cut.
    """

    step: Hashable | None
    share: float
    minutes: float
    ways: tuple[PolicyBranch, ...]


@dataclass(frozen=True, slots=True)
class Policy:
    """A compiled policy. Node 0 is the start.

    `minutes` are the expected minutes, to a confirmed repair, a giving up or a cut; `confirmed` is the share
    of walks that end in a confirmed repair, `cut` the share that runs into a cut. All three are exact.
    """

    nodes: tuple[PolicyNode, ...]
    minutes: float
    confirmed: float
    cut: float


@dataclass(frozen=True, slots=True)
class Pruning:
    """Where to stop: below which share of walks, below how many steps, after how many nodes in all."""

    least_share: float = 0.01
    deepest: int = 60
    most_nodes: int = 20_000


@dataclass(frozen=True, slots=True)
class _Node:
    """A node of the tree before equal subtrees are shared."""

    step: Hashable | None
    share: float
    minutes: float
    ways: tuple[tuple[str, float, _Node | None], ...]
    solves: frozenset[str] = frozenset()


def compile_policy(
    start: P,
    move: Callable[[P], PolicyMove[P]],
    pruning: Pruning = Pruning(),
    tick: Callable[[], None] = lambda: None,
) -> Policy:
    """Compile the policy that `move` describes. `tick` is called for each position that is worked out."""
    count = 0

    def grow(position: P, share: float, depth: int) -> _Node:
        nonlocal count
        count += 1
        if share < pruning.least_share or depth > pruning.deepest or count > pruning.most_nodes:
            return _Node(None, share, 0.0, ())
        tick()
        made = move(position)
        ways = tuple(
            (
                outcome.name,
                share * outcome.probability,
                None
                if outcome.after is None
                else grow(outcome.after, share * outcome.probability, depth + 1),
            )
            for outcome in made.outcomes
            if outcome.probability > 0.0
        )
        return _Node(made.step, share, made.minutes, ways, made.solves)

    return _shared(grow(start, 1.0, 0))


def _shared(root: _Node) -> Policy:
    """Share equal subtrees, adding up the shares of the walks that come to them."""
    numbers: dict[Hashable, int] = {}
    shapes: list[tuple[Hashable | None, float, tuple[tuple[str, int | None], ...]]] = []
    shares: list[float] = []
    way_shares: list[list[float]] = []
    totals = {"minutes": 0.0, "confirmed": 0.0, "cut": 0.0}

    def number_of(node: _Node) -> int:
        below = tuple((name, None if after is None else number_of(after)) for name, _, after in node.ways)
        shape = (node.step, round(node.minutes, 6), below)
        if shape not in numbers:
            numbers[shape] = len(shapes)
            shapes.append((node.step, node.minutes, below))
            shares.append(0.0)
            way_shares.append([0.0] * len(below))
        number = numbers[shape]
        shares[number] += node.share
        for place, (name, share, _) in enumerate(node.ways):
            way_shares[number][place] += share
            totals["confirmed"] += share if name in node.solves else 0.0
        totals["minutes"] += node.share * node.minutes
        totals["cut"] += node.share if node.step is None else 0.0
        return number

    top = number_of(root)
    order = _from_the_top(top, [shape[2] for shape in shapes])
    place_of = {number: place for place, number in enumerate(order)}
    nodes = tuple(
        PolicyNode(
            shapes[number][0],
            shares[number],
            shapes[number][1],
            tuple(
                PolicyBranch(name, share, None if target is None else place_of[target])
                for (name, target), share in zip(shapes[number][2], way_shares[number], strict=True)
            ),
        )
        for number in order
    )
    return Policy(nodes, totals["minutes"], totals["confirmed"], totals["cut"])


def _from_the_top(top: int, below: list[tuple[tuple[str, int | None], ...]]) -> list[int]:
    """Node numbers in the order in which a reader meets them."""
    order: list[int] = []
    seen: set[int] = set()
    stack = [top]
    while stack:
        number = stack.pop()
        if number in seen:
            continue
        seen.add(number)
        order.append(number)
        stack.extend(target for _, target in reversed(below[number]) if target is not None)
    return order
