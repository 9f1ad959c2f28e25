"""How often each cause leaves a rider stranded, of all the times that one is.

A complaint that the library marks with `strands` cannot be ridden home with. A cause with which the
machine must not be ridden (`ride: false`) strands under whatever complaint it shows. A cause weighs its
rate, shifted by the situation, times the chance that it shows so by itself, which follows from its weak
links. Two causes at once are left out: they add little, and are mended like two.
"""

from __future__ import annotations

from collections.abc import Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kickover.core.ids import EventId
from kickover.inference.hypotheses import Floats
from kickover.model.library import Library, Machine
from kickover.model.situation import with_implied
from kickover.model.truth import CompiledTree, evaluate, structure_of

Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Stranding:
    """A cause that strands, its share of all strandings, and the complaint that it likeliest shows as."""

    cause: EventId
    share: float
    complaint: EventId


def strandings(
    library: Library,
    machine: Machine,
    given: AbstractSet[EventId] = frozenset(),
    only: AbstractSet[EventId] = frozenset(),
) -> tuple[Stranding, ...]:
    """Every cause of the machine that can strand, most frequent first; the shares sum to 1.

    With `only`, those that show as one of these complaints, whether or not it leaves a rider by the road.
    """
    fitting = [complaint for complaint in library.complaints.values() if machine.fits(complaint.gate.only_if)]
    structure = structure_of(library, machine, tuple(complaint.id for complaint in fitting), ())
    alone = _Alone(structure)
    shown = {complaint.id: alone.shows(library, complaint.id, given) for complaint in fitting}
    weighed = []
    for place, cause in enumerate(structure.causes):
        known = library.causes[cause]
        strand = [
            complaint.id
            for complaint in fitting
            if (complaint.id in only if only else complaint.strands or not known.ride)
        ]
        chance, mostly = alone.chance(place, {complaint: shown[complaint] for complaint in strand})
        rate = known.rate
        for house, factor in known.factors.items():
            rate *= factor if house in given else 1.0
        if rate * chance > 0.0:
            weighed.append((rate * chance, cause, mostly))
    total = sum(weight for weight, _, _ in weighed)
    found = [Stranding(cause, weight / total, mostly) for weight, cause, mostly in weighed]
    return tuple(sorted(found, key=lambda stranding: (-stranding.share, stranding.cause)))


class _Alone:
    """Every cause by itself, in every state of the weak links above it: one bit a state."""

    def __init__(self, structure: CompiledTree) -> None:
        self._structure = structure
        spans: list[slice] = []
        weights: list[Floats] = []
        begin = 0
        for cause in structure.causes:
            chances = np.array([structure.links[link].chance for link in sorted(structure.reach[cause])])
            states = _states(len(chances))
            weights.append(np.where(states, chances, 1.0 - chances).prod(axis=1))
            spans.append(slice(begin, begin + len(states)))
            begin += len(states)
        self._spans, self._count = spans, begin
        self._weights = np.concatenate(weights) if weights else np.zeros(0)
        present = np.zeros((len(structure.causes), begin), dtype=bool)
        opened = np.zeros((len(structure.links), begin), dtype=bool)
        for place, (cause, span) in enumerate(zip(structure.causes, spans, strict=True)):
            present[place, span] = True
            links = sorted(structure.reach[cause])
            opened[links, span] = _states(len(links)).T
        self._present = dict(zip(structure.causes, np.packbits(present, axis=1), strict=True))
        self._opened = list(np.packbits(opened, axis=1))

    def shows(self, library: Library, complaint: EventId, given: AbstractSet[EventId]) -> Flags:
        """In which states the complaint is true, in the situation in which it is made."""
        houses = with_implied(library, (complaint,), given)
        width = (self._count + 7) // 8
        truth = evaluate(self._structure, self._present, self._opened, houses, {}, width)
        return np.unpackbits(truth[complaint], count=self._count).astype(bool)

    def chance(self, place: int, shown: Mapping[EventId, Flags]) -> tuple[float, EventId]:
        """The chance that the cause at `place` shows as any complaint, and as which one it does likeliest."""
        span = self._spans[place]
        weights = self._weights[span]
        together = np.zeros(len(weights), dtype=bool)
        best, mostly = -1.0, EventId("")
        for complaint, flags in shown.items():
            together |= flags[span]
            if (share := float(weights[flags[span]].sum())) > best + 1e-12:
                best, mostly = share, complaint
        return float(weights[together].sum()), mostly


def _states(links: int) -> Flags:
    return (np.arange(2**links)[:, None] >> np.arange(links) & 1).astype(bool)
