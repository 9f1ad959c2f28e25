"""What to carry on one machine: the best pack, what its items are worth, the frontier, a rider's own kit."""

from __future__ import annotations

from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace

from kickover.core.ids import EventId, ItemId
from kickover.model.library import Library
from kickover.packing.coverings import Covering
from kickover.packing.knapsack import Capacity, Goal, best_pack

POINTS = 16


@dataclass(frozen=True, slots=True)
class Budget:
    """What the pack may weigh, take up and cost; None for no limit. What is owned costs nothing."""

    grams: float
    litres: float | None = None
    money: float | None = None
    owned: frozenset[ItemId] = frozenset()
    carried: frozenset[ItemId] = frozenset()
    without: frozenset[ItemId] = frozenset()


@dataclass(frozen=True, slots=True)
class Worth:
    """One item of a pack: by how much the chance falls without it, and the causes that then strand."""

    item: ItemId
    loss: float
    causes: tuple[EventId, ...]


@dataclass(frozen=True, slots=True)
class Pack:
    """A pack: its items, what they use up, and the chance of getting home when stranded."""

    items: tuple[ItemId, ...]
    grams: float
    litres: float
    money: float
    chance: float


@dataclass(frozen=True, slots=True)
class Addition:
    """Items to add to a kit, what they weigh and cost, and by how much the chance rises."""

    items: tuple[ItemId, ...]
    grams: float
    price: float
    gain: float


class Packer:
    """Packs for one machine. `listed` is the share of strandings whose cause is in the library."""

    def __init__(self, library: Library, coverings: Sequence[Covering]) -> None:
        self.library = library
        self.coverings = tuple(coverings)
        self.listed = 1.0 - library.settings.unlisted_share

    def best(self, budget: Budget) -> Pack:
        """The pack with the best chance of getting home within the budget, the lightest of equals.

        Items of `budget.carried` are taken in any case and use up nothing.
        """
        chosen = best_pack(self._goals(budget), self._limits(budget))
        return self.pack(budget, frozenset(ItemId(item) for item in chosen))

    def pack(self, budget: Budget, items: AbstractSet[ItemId]) -> Pack:
        """A pack of given items, beside those that are carried in any case."""
        known = [self.library.items[item] for item in self.library.items if item in items]
        return Pack(
            tuple(item.id for item in known),
            sum(item.grams for item in known),
            sum(item.litres for item in known),
            sum(item.price for item in known if item.id not in budget.owned),
            self.chance(items | budget.carried),
        )

    def chance(self, carried: AbstractSet[ItemId]) -> float:
        """The chance of getting home when stranded, with what is carried."""
        return self.listed * sum(
            covering.share for covering in self.coverings if covering.quickest(carried) is not None
        )

    def worth(self, carried: AbstractSet[ItemId], items: Sequence[ItemId]) -> tuple[Worth, ...]:
        """What each of `items` is worth beside all the others that are carried, the most first."""
        whole = self.chance(carried)
        found = []
        for item in items:
            less = frozenset(carried) - {item}
            lost = [
                covering.cause
                for covering in self.coverings
                if covering.quickest(carried) is not None and covering.quickest(less) is None
            ]
            found.append(Worth(item, whole - self.chance(less), tuple(lost)))
        return tuple(sorted(found, key=lambda worth: (-worth.loss, worth.item)))

    def frontier(self, budget: Budget, points: int = POINTS) -> tuple[Pack, ...]:
        """The best packs for evenly spaced weights up to the budget's, without repeats, lightest first."""
        packs = {
            pack.items: pack
            for step in range(points + 1)
            for pack in [self.best(replace(budget, grams=budget.grams * step / points))]
        }
        return tuple(sorted(packs.values(), key=lambda pack: (pack.grams, pack.chance)))

    def missing(self, kit: AbstractSet[ItemId], budget: Budget) -> tuple[Addition, ...]:
        """What a kit lacks: sets of items, by the gain for their weight, the best first.

        A set is what opens one way of one cause; its gain counts every cause that it opens.
        """
        carried = kit | budget.carried
        now = self.chance(carried)
        wanted = {
            way.items - carried
            for covering in self.coverings
            if covering.quickest(carried) is None
            for way in covering.ways
            if not (way.items & budget.without)
        }
        found = []
        for items in wanted:
            pack = self.pack(budget, items)
            found.append(Addition(pack.items, pack.grams, pack.money, self.chance(carried | items) - now))
        return tuple(sorted(found, key=lambda added: (-added.gain / max(added.grams, 1.0), added.items)))

    def uncovered(self, carried: AbstractSet[ItemId]) -> tuple[Covering, ...]:
        """The causes with which one does not get home, most frequent first."""
        return tuple(covering for covering in self.coverings if covering.quickest(carried) is None)

    def _goals(self, budget: Budget) -> list[Goal]:
        return [
            Goal(
                covering.share,
                tuple(
                    frozenset[str](way.items - budget.carried)
                    for way in covering.ways
                    if not (way.items & budget.without)
                ),
            )
            for covering in self.coverings
        ]

    def _limits(self, budget: Budget) -> list[Capacity]:
        items = self.library.items.values()
        limits = [Capacity(budget.grams, {item.id: item.grams for item in items})]
        if budget.litres is not None:
            limits.append(Capacity(budget.litres, {item.id: item.litres for item in items}))
        if budget.money is not None:
            prices = {str(item.id): 0.0 if item.id in budget.owned else item.price for item in items}
            limits.append(Capacity(budget.money, prices))
        return limits
