"""The tree as a graph: what lies above and below, in which order, and what can be at all.

The only module that asks networkx about a library; it gives plain values back.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from functools import cached_property
from graphlib import TopologicalSorter
from typing import TYPE_CHECKING, TypeVar

from kickover.core.ids import EventId
from kickover.model.library import Gate, Library, Machine

if TYPE_CHECKING:
    import networkx as nx

Id = TypeVar("Id", bound=str)


@dataclass(frozen=True)
class EventGraph:
    """The gates of a library, complaints included, by id."""

    gates: Mapping[EventId, Gate]
    causes: Collection[EventId]
    houses: Collection[EventId]

    @cached_property
    def parents(self) -> Mapping[EventId, Sequence[EventId]]:
        """The gates into which each event goes."""
        above: dict[EventId, list[EventId]] = defaultdict(list)
        for gate in self.gates.values():
            for line in dict.fromkeys(input_.event for input_ in gate.inputs):
                above[line].append(gate.id)
        return above

    @cached_property
    def loops(self) -> tuple[tuple[EventId, ...], ...]:
        """One way round each knot of events that lead back to themselves, from the smallest id on."""
        return loops_in({gate.id: [line.event for line in gate.inputs] for gate in self.gates.values()})

    @cached_property
    def order(self) -> tuple[EventId, ...]:
        """The gates from the bottom up, each after all of its inputs. Only without loops."""
        below = {gate.id: [line.event for line in gate.inputs] for gate in self.gates.values()}
        return tuple(event for event in TopologicalSorter(below).static_order() if event in self.gates)

    def below(self, starts: Iterable[EventId]) -> Set[EventId]:
        """Everything to which one comes by going down from `starts`, these included."""
        seen = set(starts)
        waiting = list(seen)
        while waiting:
            gate = self.gates.get(waiting.pop())
            for line in gate.inputs if gate else ():
                if line.event not in seen:
                    seen.add(line.event)
                    waiting.append(line.event)
        return seen

    def possible(self, basic: Set[EventId], machine: Machine | None = None) -> Set[EventId]:
        """Every event that can be true when just the `basic` ones may be. Only without loops.

        With a machine, gates that do not fit it are false.
        """
        true = set(basic)
        for event in self.order:
            gate = self.gates[event]
            if machine is not None and not machine.fits(gate.only_if):
                continue
            if sum(line.event in true for line in gate.inputs) >= gate.needed:
                true.add(event)
        return true


def event_graph(library: Library) -> EventGraph:
    """Give the graph of a library."""
    tops = {event: complaint.gate for event, complaint in library.complaints.items()}
    return EventGraph({**tops, **library.gates}, library.causes.keys(), library.houses.keys())


def loops_in(
    leads_to: Mapping[Id, Iterable[Id]], first: Callable[[Iterable[Id]], Id] = min
) -> tuple[tuple[Id, ...], ...]:
    """One way round each knot of ids that lead back to themselves, from the `first` of them on."""
    import networkx as nx  # when used: a library that was checked before is loaded without it

    ways = (nx.find_cycle(knot, first(knot)) for knot in _knots(leads_to))
    return tuple(sorted(tuple(above for above, _ in way) for way in ways))


def circular_ids(leads_to: Mapping[Id, Iterable[Id]]) -> Set[Id]:
    """Give everything that leads back to itself."""
    return {id_ for knot in _knots(leads_to) for id_ in knot}


def _knots(leads_to: Mapping[Id, Iterable[Id]]) -> Iterator[nx.DiGraph[Id]]:
    import networkx as nx  # when used, as above

    graph = nx.DiGraph((id_, other) for id_, others in leads_to.items() for other in others)
    for knot in nx.strongly_connected_components(graph):
        if len(knot) > 1 or graph.has_edge(*knot, *knot):
            yield graph.subgraph(knot)
