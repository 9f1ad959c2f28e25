"""What is left out by listing no more than so many causes at once.

The causes are taken as independent, with the odds that the listed sets have, and the exact probability of the
complaint is had from a decision diagram; the sets beyond the order are what is missing from it. What one
cause brings another is left out of this, and undeveloped events, which come alone, do not count.
"""

from __future__ import annotations

from kickover.inference.hypotheses import Hypotheses, odds_of
from kickover.model.decision_diagram import decision_diagram, probability_by_order
from kickover.model.library import Library


def truncation_error(library: Library, hypotheses: Hypotheses) -> float:
    """The share of complaints that the hypotheses leave out.

    Single causes say nothing of how often causes meet; there it is the share that the library states.
    """
    if hypotheses.members.shape[1] == 1:
        return library.settings.two_cause_share
    return share_beyond(library, hypotheses)


def share_beyond(library: Library, hypotheses: Hypotheses) -> float:
    """The share of complaints, by a listed cause, in which more causes meet than the hypotheses hold.

    Raises DiagramTooLargeError where the tree is too large to be worked out exactly.
    """
    tree, complaints = hypotheses.structure, hypotheses.complaints
    if not tree.causes:
        return 0.0
    diagram = decision_diagram(tree, complaints)
    undeveloped = dict(zip(tree.causes, hypotheses.undeveloped.tolist(), strict=True))
    chances = []
    for event in diagram.events:
        if isinstance(event, int):
            chances.append(tree.links[event].chance)
        elif event in undeveloped:
            odds = 0.0 if undeveloped[event] else odds_of(library, event, hypotheses.houses)
            chances.append(hypotheses.scale * odds / (1.0 + hypotheses.scale * odds))
        else:
            chances.append(float(event in hypotheses.houses))
    counted = [event in undeveloped for event in diagram.events]
    shares = probability_by_order(diagram, chances, counted, hypotheses.members.shape[1])
    return max(0.0, 1.0 - sum(shares.values()))
