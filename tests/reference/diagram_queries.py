"""What a decision diagram tells of trees as published: some asked by tests alone, to prove the diagram."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from kickover.core.ids import EventId
from kickover.model import decision_diagram as diagrams
from kickover.model.decision_diagram import NODE_LIMIT, DecisionDiagram, possible_top, probability_below
from reference.votes_tree import FaultTree, checked_probabilities, compiled


def decision_diagram(tree: FaultTree, *, node_limit: int = NODE_LIMIT) -> DecisionDiagram:
    """Build the diagram of a tree. Raises `DiagramTooLargeError`."""
    return diagrams.decision_diagram(compiled(tree), [EventId(tree.top)], node_limit=node_limit)


def probability_by_order(
    tree: FaultTree | DecisionDiagram,
    q: Mapping[str, float],
    max_order: int,
    uncounted: Collection[str] = (),
) -> Mapping[int, float]:
    """Give the share of P(TOP) with exactly 1, 2, … `max_order` basic events true, those uncounted aside."""
    diagram = as_diagram(tree)
    counted = [event not in uncounted for event in diagram.events]
    return diagrams.probability_by_order(diagram, by_level(diagram, q), counted, max_order)


def as_diagram(tree: FaultTree | DecisionDiagram) -> DecisionDiagram:
    """The diagram of a tree that may be one already."""
    return decision_diagram(tree) if isinstance(tree, FaultTree) else tree


def by_level(diagram: DecisionDiagram, q: Mapping[str, float]) -> list[float]:
    """The chance of each event, by level. Raises `ProbabilityError`."""
    return list(checked_probabilities(map(str, diagram.events), q).values())


def top_probability(tree: FaultTree | DecisionDiagram, q: Mapping[str, float]) -> float:
    """Give the exact probability of the top event when event e is true with probability `q[e]`.

    Raises `ProbabilityError`, and `DiagramTooLargeError` for a tree whose diagram is too large.
    """
    diagram = as_diagram(tree)
    return probability_below(diagram, by_level(diagram, q))[diagram.root]


def birnbaum_importance(tree: FaultTree | DecisionDiagram, q: Mapping[str, float]) -> Mapping[str, float]:
    """Give, for each basic event e, P(TOP | e true) - P(TOP | e false) (Birnbaum 1969).

    Raises as `top_probability` does.
    """
    diagram = as_diagram(tree)
    chance = by_level(diagram, q)
    return dict(zip(map(str, diagram.events), _importances(diagram, chance), strict=True))


def posterior_of_event(tree: FaultTree | DecisionDiagram, q: Mapping[str, float]) -> Mapping[str, float]:
    """Give, for each basic event, the probability that it is true given that the top event is.

    Raises `ImpossibleTopError` when the top event has probability 0, and otherwise as `top_probability` does.
    """
    diagram = as_diagram(tree)
    chance = by_level(diagram, q)
    top = possible_top(diagram, chance)
    return {
        str(event): chance[level] * (top + (1 - chance[level]) * importance) / top
        for level, (event, importance) in enumerate(
            zip(diagram.events, _importances(diagram, chance), strict=True)
        )
    }


def _importances(diagram: DecisionDiagram, chance: list[float]) -> list[float]:
    """Weigh what each node decides by the probability of being asked, added up by level."""
    below = probability_below(diagram, chance)
    asked = [0.0] * len(below)
    asked[diagram.root] = 1.0
    importances = [0.0] * len(chance)
    for node in reversed(diagram.nodes()):
        level, low, high = diagram.level[node], diagram.low[node], diagram.high[node]
        importances[level] += asked[node] * (below[high] - below[low])
        asked[low] += asked[node] * (1 - chance[level])
        asked[high] += asked[node] * chance[level]
    return importances
