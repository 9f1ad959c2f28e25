"""What else a decision diagram tells, asked by tests alone: against worked examples it proves the diagram."""

from __future__ import annotations

from collections.abc import Mapping

from kickover.model.decision_diagram import (
    DecisionDiagram,
    as_diagram,
    by_level,
    possible_top,
    probability_below,
)
from kickover.model.votes_tree import FaultTree


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
    return dict(zip(diagram.events, _importances(diagram, chance), strict=True))


def posterior_of_event(tree: FaultTree | DecisionDiagram, q: Mapping[str, float]) -> Mapping[str, float]:
    """Give, for each basic event, the probability that it is true given that the top event is.

    Raises `ImpossibleTopError` when the top event has probability 0, and otherwise as `top_probability` does.
    """
    diagram = as_diagram(tree)
    chance = by_level(diagram, q)
    top = possible_top(diagram, chance)
    return {
        event: chance[level] * (top + (1 - chance[level]) * importance) / top
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
