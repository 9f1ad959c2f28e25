"""What is left out by listing no more than so many causes at once.

The causes are taken as independent, with the odds that the listed sets have, and the exact probability of the
complaint is had from a decision diagram; the sets beyond the order are what is missing from it.
"""

from __future__ import annotations

from collections.abc import Iterator

from kickover.inference.hypotheses import Hypotheses, odds_of
from kickover.model.decision_diagram import probability_by_order
from kickover.model.library import Library
from kickover.model.votes_tree import FaultTree, Votes

_TOP = "(all complaints)"
_NEVER = "(never)"


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
    structure = hypotheses.structure
    order = hypotheses.members.shape[1]
    if not structure.causes:
        return 0.0
    chances: dict[str, float] = {_NEVER: 0.0}
    for cause in structure.causes:
        odds = hypotheses.scale * odds_of(library, cause, hypotheses.houses)
        chances[cause] = odds / (1.0 + odds)
    uncounted = {_NEVER}
    for house in structure.houses:
        chances[house] = float(house in hypotheses.houses)
        uncounted.add(house)
    for number, link in enumerate(structure.links):
        chances[_link(number)] = link.chance
        uncounted.add(_link(number))
    gates = dict(_gates(hypotheses))
    gates[_TOP] = Votes(len(hypotheses.complaints), tuple(hypotheses.complaints))
    shares = probability_by_order(FaultTree(_TOP, gates), chances, order, uncounted)
    return max(0.0, 1.0 - sum(shares.values()))


def _link(number: int) -> str:
    return f"(link {number})"


def _gates(hypotheses: Hypotheses) -> Iterator[tuple[str, Votes]]:
    for gate in hypotheses.structure.gates:
        inputs: list[str] = []
        for event, link in gate.inputs:
            inputs.append(event if link < 0 else f"(through {link})")
            if link >= 0:
                yield f"(through {link})", Votes(2, (event, _link(link)))
        if gate.needed > len(inputs):
            yield gate.event, Votes(1, (_NEVER,))
        else:
            yield gate.event, Votes(gate.needed, tuple(inputs))
