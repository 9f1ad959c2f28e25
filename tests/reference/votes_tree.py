"""A fault tree of votes over names, as published examples have them, and how it is compiled (IEC 61025).

All gates are votes, so every tree here is coherent: one more failed event never mends anything. Gates that
negate are refused by having no way to be written. Nothing here knows of libraries, machines or checks.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter

from kickover.core.ids import EventId
from kickover.core.problem import KickoverError
from kickover.model.truth import CompiledTree, FlatGate


class FaultTreeError(KickoverError):
    """A fault tree, or the probabilities that go with it, that has no meaning as it stands."""


class UnknownTopError(FaultTreeError):
    """The top event is not a gate of the tree."""


class VotesOutOfRangeError(FaultTreeError):
    """A gate that needs fewer than one, or more than all, of its inputs."""


class CyclicTreeError(FaultTreeError):
    """An event that depends on itself; `cycle` runs from a gate through its inputs back to that gate."""

    def __init__(self, cycle: tuple[str, ...]) -> None:
        self.cycle = cycle
        trail = " -> ".join(cycle)
        super().__init__(f"events depend on themselves: {trail}; take one of these links out")


class ProbabilityError(FaultTreeError):
    """A basic event without a probability, or with one that is not between 0 and 1."""


@dataclass(frozen=True, slots=True)
class Votes:
    """A gate that is true when at least `needed` of its `inputs` are.

    Needing 1 makes an or gate, needing all of them an and gate. An input listed twice counts twice.
    """

    needed: int
    inputs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FaultTree:
    """A top event over gates; every name that is not a gate is a basic event, and a shared gate is one gate.

    Raises `UnknownTopError`, `VotesOutOfRangeError` or `CyclicTreeError`: a tree that exists is sound.
    """

    top: str
    gates: Mapping[str, Votes]

    def __post_init__(self) -> None:
        if self.top not in self.gates:
            raise UnknownTopError(f"there is no gate named {self.top!r}; name a gate as the top")
        for name, gate in self.gates.items():
            if not 1 <= gate.needed <= len(gate.inputs):
                raise VotesOutOfRangeError(
                    f"gate {name!r} needs {gate.needed} of its {len(gate.inputs)} inputs; "
                    f"ask for at least 1 and no more than there are"
                )
        gates_bottom_up(self)


def gates_bottom_up(tree: FaultTree) -> tuple[str, ...]:
    """List every gate after the gates that it draws on. Raises `CyclicTreeError`."""
    sorter = TopologicalSorter({name: gate.inputs for name, gate in tree.gates.items()})
    try:
        return tuple(name for name in sorter.static_order() if name in tree.gates)
    except CycleError as error:
        raise CyclicTreeError(tuple(reversed(error.args[1]))) from None


def basic_events(tree: FaultTree) -> tuple[str, ...]:
    """List the basic events under the top event in the order of a depth-first walk, each where first met."""
    return tuple(name for name in _depth_first(tree) if name not in tree.gates)


def gates_under_top(tree: FaultTree) -> tuple[str, ...]:
    """List the gates that the top event draws on, itself included, each after the gates that it draws on."""
    reached = set(_depth_first(tree))
    return tuple(name for name in gates_bottom_up(tree) if name in reached)


def _depth_first(tree: FaultTree) -> Iterator[str]:
    seen: set[str] = set()
    waiting = [tree.top]
    while waiting:
        name = waiting.pop()
        if name in seen:
            continue
        seen.add(name)
        yield name
        if name in tree.gates:
            waiting.extend(reversed(tree.gates[name].inputs))


def checked_probabilities(events: Iterable[str], q: Mapping[str, float]) -> dict[str, float]:
    """Pick the probability of each of `events` out of `q`. Raises `ProbabilityError`."""
    picked = {}
    for event in events:
        if event not in q:
            raise ProbabilityError(f"event {event!r} has no probability; give it one between 0 and 1")
        if not 0 <= q[event] <= 1:
            raise ProbabilityError(f"event {event!r} has probability {q[event]}; give one between 0 and 1")
        picked[event] = q[event]
    return picked


def compiled(tree: FaultTree) -> CompiledTree:
    """The tree in the form in which the program evaluates it."""
    gates = tuple(
        FlatGate(
            EventId(name),
            tree.gates[name].needed,
            tuple((EventId(each), -1) for each in tree.gates[name].inputs),
        )
        for name in gates_under_top(tree)
    )
    return CompiledTree(gates, tuple(map(EventId, basic_events(tree))), (), (), {})
