"""What has to be carried to get home in spite of a cause: sets of tools and spares, each of which will do.

A cause is covered by a repair when everything it needs is carried: its own tools and spares, and those of
the setups that it rests on. A roadside repair will do, unless the machine is pushed home after it, and a
lasting one that is made and proven within a stated time.

It must also be found. The rule: with what is carried, some check can be made that has a finding which speaks
clearly for the cause (5 decibans or more, the walk's own word) and shows in at least half of its cases; or
the repair is so quick that it is tried on suspicion, since a repair is a check as well. A rider with no way
to tell would not try the right one of fifty repairs, and a full search by the planner for every cause and
every pouch could not be written as a linear program.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from kickover.core.ids import CheckId, EventId, ItemId, RepairId, SetupId
from kickover.inference.compiled_model import EngineState, Model, compile_model
from kickover.inference.hypotheses import UNLISTED, Floats
from kickover.model.library import Library, Machine, Needs
from kickover.packing.strandings import Stranding
from kickover.planning.job_state import Job, proof_needs, step_cost

Items = frozenset[ItemId]

QUICK_MINUTES = 45.0
"""A lasting repair that takes no longer than this, with its setups and its proof, is made at the roadside."""
TRIED_MINUTES = 15.0
"""A repair that takes no more work than this, waiting not counted, is tried on suspicion."""
CLEARLY = 10.0**0.5
"""The factor on the odds of 5 decibans."""
SHOWN = 0.5


@dataclass(frozen=True, slots=True)
class ItemSet:
    """One way to get home with a cause: a repair, its minutes in all, and all that is carried for it."""

    repair: RepairId
    minutes: float
    items: Items


@dataclass(frozen=True, slots=True)
class Covering:
    """A cause, its share of strandings, and the ways to get home; none when there is no way at all."""

    cause: EventId
    share: float
    ways: tuple[ItemSet, ...]

    def quickest(self, carried: AbstractSet[ItemId]) -> ItemSet | None:
        """The quickest way with what is carried, or None when there is none."""
        possible = [way for way in self.ways if way.items <= carried]
        return min(possible, key=lambda way: (way.minutes, way.repair), default=None)


def coverings(
    library: Library,
    machine: Machine,
    stranding: Sequence[Stranding],
    given: AbstractSet[EventId] = frozenset(),
    quick: float = QUICK_MINUTES,
) -> tuple[Covering, ...]:
    """For each cause the ways to get home with it. Raises LimitError as the model does."""
    finding = {
        complaint: _Finding(compile_model(library, machine, (complaint,), given, order=1, listed=True))
        for complaint in dict.fromkeys(case.complaint for case in stranding)
    }
    return tuple(
        Covering(case.cause, case.share, _ways(finding[case.complaint], case.cause, quick))
        for case in stranding
    )


def _ways(finding: _Finding, cause: EventId, quick: float) -> tuple[ItemSet, ...]:
    model, found = finding.model, list[ItemSet]()
    checks: tuple[Items, ...] | None = None
    for repair in model.repairs.values():
        if cause not in repair.cures or repair.on_foot:
            continue
        minutes = _minutes(model, repair.needs)
        if minutes is None or not (repair.roadside or minutes <= quick):
            continue
        fixing = items_of(model.library, repair.needs)
        if minutes - repair.needs.waiting <= TRIED_MINUTES:
            found.append(ItemSet(repair.id, minutes, fixing))
            continue
        if checks is None:
            checks = finding.checks_for(cause)
        found += (ItemSet(repair.id, minutes, fixing | checking) for checking in checks)
    return _undominated(served for way in found for served in _served(model.library, way))


def _served(library: Library, way: ItemSet) -> Iterable[ItemSet]:
    """The way, and with other items in place of those that they serve as."""
    instead: dict[ItemId, list[ItemId]] = {item: [item] for item in sorted(way.items)}
    for item in library.items.values():
        for served in way.items.intersection(item.serves_as):
            instead[served].append(item.id)
    return (replace(way, items=frozenset(chosen)) for chosen in product(*instead.values()))


def _undominated(ways: Iterable[ItemSet]) -> tuple[ItemSet, ...]:
    """The ways, less those for which another needs no more items and takes no longer."""
    kept: list[ItemSet] = []
    for way in sorted(ways, key=lambda way: (len(way.items), way.minutes, way.repair, sorted(way.items))):
        if not any(other.items <= way.items and other.minutes <= way.minutes for other in kept):
            kept.append(way)
    return tuple(kept)


def items_of(library: Library, needs: Needs) -> Items:
    """Every tool and spare that a step needs, those of the setups under it included."""
    items = {*needs.tools, *needs.spares}
    waiting, seen = list(needs.setups), set[SetupId]()
    while waiting:
        setup = waiting.pop()
        if setup not in seen:
            seen.add(setup)
            below = library.setups[setup].needs
            items |= {*below.tools, *below.spares}
            waiting += below.setups
    return frozenset(items)


def _minutes(model: Model, needs: Needs) -> float | None:
    """The minutes of a repair with its setups and its proof, from an engine in one piece."""
    library = model.library
    job = Job(model.hypotheses.houses)
    taken = step_cost(library, job, needs)
    if taken is None:
        return None
    complaint = library.complaints[model.hypotheses.complaints[0]]
    proof = step_cost(library, taken.after, proof_needs(library, taken.after, complaint))
    return None if proof is None else taken.minutes + proof.minutes


class _Finding:
    """Which checks speak clearly for a cause, among all that the complaint may come from."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self._state = EngineState(model.hypotheses.houses)
        self._prior = model.hypotheses.prior[:-UNLISTED]
        self._needs: Mapping[CheckId, Items] = {
            id_: items_of(model.library, check.needs) for id_, check in model.checks.items()
        }

    def checks_for(self, cause: EventId) -> tuple[Items, ...]:
        """The least sets of items with which some check finds the cause."""
        names = self.model.hypotheses.structure.causes
        if cause not in names:
            return ()
        has = (self.model.hypotheses.members[:-UNLISTED] == names.index(cause)).any(axis=1)
        if not has.any():
            return ()
        found = {self._needs[id_] for id_ in self.model.checks if self._speaks(id_, has)}
        return tuple(items for items in found if not any(other < items for other in found))

    def _speaks(self, check: CheckId, has: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> bool:
        job = Job(self._state.houses)
        if step_cost(self.model.library, job, self.model.checks[check].needs) is None:
            return False
        with_it = self._chances(check, has)
        without = self._chances(check, ~has)
        return bool(((with_it >= SHOWN) & (with_it >= CLEARLY * without)).any())

    def _chances(self, check: CheckId, rows: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> Floats:
        """The chances of the findings under some of the hypotheses, weighed by their prior."""
        chances = self.model.chances[check]
        lines = self.model.line_positions(check, self._state)[:-UNLISTED][rows]
        mass = np.bincount(lines, weights=self._prior[rows], minlength=chances.shape[1])
        total = mass.sum()
        return np.asarray(chances @ (mass / total) if total > 0.0 else np.zeros(len(chances)))
