"""Gathers the ways that leave a chart into a few finishing lists, and works out what each list does.

Ways with much the same likely causes share a list. The rows are chosen and worked out by the reasoning; here
is only decided which ways come together, and in which order the lists are met.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from kickover.documents.charts.compile_moves import Position
from kickover.documents.charts.compile_places import Place, Places
from kickover.inference.hypotheses import Floats
from kickover.planning.build_problem import step_costs_of
from kickover.planning.finishing import Entrant, ListRow, Outcome, work_down, workshop_of
from kickover.planning.finishing_rows import MOST_ROWS, choose_rows
from kickover.planning.job_state import proof_needs, step_cost
from kickover.planning.residual_faults import mixture_of, residual_faults

MOST_LISTS = 8
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
CHOSEN_WITH = 300
"""How many hypotheses take part in choosing rows."""
DROPPED = 1e-6
"""The share of walks that may be left out, and is counted as left at the end, when a list is worked out."""

Way = tuple[int, str]
"""A way that leaves the chart: the number of its step in the policy, and the name of its outcome."""


@dataclass(frozen=True, slots=True)
class Gathered:
    """A finishing list before it is put in words: the ways that lead to it, and all that come by them.

    `proven` is the share of walks that a repair which was still to be proven has cured.
    """

    letter: str
    ways: tuple[Way, ...]
    place: Place
    rows: tuple[ListRow, ...]
    outcome: Outcome
    proven: float
    proving_minutes: float

    @property
    def share(self) -> float:
        """The share of all walks that come to the list."""
        return self.place.share

    @property
    def confirmed(self) -> float:
        """The share of all walks that end in a confirmed repair on the list."""
        return self.outcome.confirmed + self.proven

    @property
    def minutes(self) -> float:
        """The minutes spent on the list, times the share of all walks."""
        return self.outcome.minutes + self.proving_minutes


def gather(places: Places, most: int = MOST_LISTS) -> tuple[Gathered, ...]:
    """Gather the ways that leave a chart into at most `most` lists, named in the order they are met."""
    ways = sorted(places.beyond, key=lambda way: (way[0], way[1]))
    if not ways:
        return ()
    masses = np.stack([_masses(places.beyond[way]) for way in ways])
    groups = sorted(grouped(masses, most, MOST_ROWS))
    return tuple(
        _gathered(letter, tuple(ways[one] for one in group), places.beyond)
        for letter, group in zip(LETTERS, groups, strict=False)
    )


def _masses(place: Place) -> Floats:
    """The mass of each cause that something at hand can mend, over all that leave by one way."""
    model = place.positions[0].session.model
    names = model.hypotheses.structure.causes
    mendable = _mendable(place.positions[0])
    total = np.zeros(len(names))
    for position in place.positions:
        marginals = position.session.belief.marginals()
        total += position.share * np.array([marginals.get(name, 0.0) for name in names])
    return np.asarray(total * np.array([name in mendable for name in names]))


def _mendable(position: Position) -> frozenset[str]:
    session = position.session
    step_costs = step_costs_of(session.model, session.job)
    minutes = step_costs.repair_costs([step_costs.job_state(session.job)])[0].minutes
    return frozenset(
        cause
        for row, repair in enumerate(session.model.repairs.values())
        if np.isfinite(minutes[row])
        for cause in repair.cures
    )


def grouped(masses: Floats, most: int, rows: int) -> list[tuple[int, ...]]:
    """Put ways together until there are `most` groups; `masses` (ways, causes).

    The lightest group joins the one with which the `rows` heaviest causes of all groups lose least.
    """
    groups: list[tuple[tuple[int, ...], Floats]] = [((number,), mass) for number, mass in enumerate(masses)]

    def covered(mass: Floats) -> float:
        return float(np.sort(mass)[::-1][:rows].sum())

    while len(groups) > most:
        lightest = min(groups, key=lambda group: (round(float(group[1].sum()), 12), group[0]))
        groups = [group for group in groups if group[0] != lightest[0]]
        ways, mass = lightest
        best = min(
            range(len(groups)),
            key=lambda one: (
                round(covered(groups[one][1]) - covered(groups[one][1] + mass), 12),
                groups[one][0],
            ),
        )
        other_ways, other = groups[best]
        groups[best] = (tuple(sorted((*other_ways, *ways))), other + mass)
    return [ways for ways, _ in groups]


def _gathered(letter: str, ways: tuple[Way, ...], beyond: Mapping[Way, Place]) -> Gathered:
    place = Place([position for way in ways for position in beyond[way].positions])
    model = place.positions[0].session.model
    settled = [_settled(position) for position in place.positions]
    entrants = [one.entrant for one in settled if one.entrant.share > 0.0]
    rows: tuple[ListRow, ...] = ()
    outcome = Outcome((), 0.0, 0.0, sum(entrant.share for entrant in entrants))
    if entrants:
        step_costs = step_costs_of(model, entrants[0].job)
        mixture = mixture_of(
            [entrant.belief for entrant in entrants], [entrant.share for entrant in entrants]
        )
        few = workshop_of(residual_faults(model, mixture, DROPPED, CHOSEN_WITH), step_costs)
        rows = choose_rows(few, entrants)
        all_ = workshop_of(residual_faults(model, mixture, DROPPED), step_costs)
        outcome = work_down(rows, all_, entrants)
    return Gathered(
        letter,
        ways,
        place,
        rows,
        outcome,
        sum(one.proven for one in settled),
        sum(one.minutes for one in settled),
    )


@dataclass(frozen=True, slots=True)
class _Settled:
    entrant: Entrant
    proven: float = 0.0
    minutes: float = 0.0


def _settled(position: Position) -> _Settled:
    """A position as it comes to a list: a repair that was still to be proven is proven first."""
    session = position.session
    known = {one.check: one.seen for one in session.evidence}
    entrant = Entrant(position.share, session.belief, session.job, known)
    if session.proving is None:
        return _Settled(entrant)
    taken = step_cost(
        session.library, session.job, proof_needs(session.library, session.job, session.complaint)
    )
    gone = session.belief.cured_by(session.proving)
    job = session.job if taken is None else taken.after
    after = replace(
        entrant,
        share=position.share * (1.0 - gone),
        belief=session.belief.after_repair(session.proving),
        job=job,
    )
    return _Settled(after, position.share * gone, position.share * (taken.minutes if taken else 0.0))
