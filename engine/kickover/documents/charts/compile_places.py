"""Where the walks of a policy stand at each of its steps: what is likely there, and what must be heeded.

A step of a policy is shared by all walks that come to it, so what is said of it holds for their mixture.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from kickover.core.ids import EventId
from kickover.documents.charts.compile_moves import Position
from kickover.planning.policy import Policy, PolicyMove

MENTIONED = 0.1
"""A cause that is less likely than this is not mentioned (estimate)."""


@dataclass(frozen=True, slots=True)
class Likely:
    """A cause and its probability among the walks that come to a place."""

    cause: EventId
    probability: float


@dataclass(frozen=True, slots=True)
class Place:
    """All positions that come to one step, or that leave the policy by one way."""

    positions: list[Position] = field(default_factory=list)

    @property
    def share(self) -> float:
        """The share of all walks that come here."""
        return sum(position.share for position in self.positions)

    def likely(self, most: int = 3) -> tuple[Likely, ...]:
        """The likeliest causes here, exactly as likely as the walk has them, averaged over those walks."""
        return likely_in(self.positions)[:most]


def likely_in(positions: Iterable[Position]) -> tuple[Likely, ...]:
    """The causes that are worth a mention among `positions`, likeliest first, equals by id."""
    total: dict[EventId, float] = {}
    share = 0.0
    for position in positions:
        share += position.share
        for cause, probability in position.session.belief.marginals().items():
            total[cause] = total.get(cause, 0.0) + position.share * probability
    ranked = sorted(total.items(), key=lambda pair: (-round(pair[1] / share, 12), pair[0]))
    return tuple(Likely(cause, mass / share) for cause, mass in ranked if mass >= MENTIONED * share)


@dataclass(frozen=True, slots=True)
class Places:
    """The places of a policy: `at[number]` for each step, `beyond[number, name]` for each way that is cut."""

    at: dict[int, Place] = field(default_factory=dict)
    beyond: dict[tuple[int, str], Place] = field(default_factory=dict)


def places_of(policy: Policy, start: Position, move: Callable[[Position], PolicyMove[Position]]) -> Places:
    """Follow every walk of `policy` once more, with the moves that it was compiled from."""
    places = Places()
    stack = [(0, start)]
    while stack:
        number, position = stack.pop()
        places.at.setdefault(number, Place()).positions.append(position)
        after = {outcome.name: outcome.after for outcome in move(position).outcomes}
        for way in policy.nodes[number].ways:
            reached = after[way.name]
            if way.target is None or reached is None:
                continue
            if policy.nodes[way.target].step is None:
                places.beyond.setdefault((number, way.name), Place()).positions.append(reached)
            else:
                stack.append((way.target, reached))
    return places
