"""What to carry, in words and as plain data."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from kickover.core.ids import ItemId
from kickover.model.library import Library, Machine
from kickover.packing.advice import Addition, Budget, Pack, Packer, Worth
from kickover.packing.coverings import Covering
from kickover.packing.prevention import MinutesSaved
from kickover.session.wording import lower_first, percent

SHOWN = 8
NOT_COUNTED = "Not counted: punctures, crashes, and whatever else the library does not know."


@dataclass(frozen=True, slots=True)
class Advice:
    """Everything that is said about packing for one machine. `own` is the rider's kit, if one was named."""

    machine: Machine
    budget: Budget
    best: Pack
    worths: tuple[Worth, ...]
    uncovered: tuple[Covering, ...]
    frontier: tuple[Pack, ...]
    own: Pack | None
    own_worths: tuple[Worth, ...]
    missing: tuple[Addition, ...]
    savings: tuple[MinutesSaved, ...]


def advise(packer: Packer, machine: Machine, budget: Budget, own: frozenset[ItemId] | None) -> Advice:
    """Work out the advice, but for what to do beforehand."""
    best = packer.best(budget)
    carried = frozenset(best.items) | budget.carried
    kit = None if own is None else packer.pack(budget, own)
    return Advice(
        machine=machine,
        budget=budget,
        best=best,
        worths=packer.worth(carried, best.items),
        uncovered=packer.uncovered(carried),
        frontier=packer.frontier(budget),
        own=kit,
        own_worths=packer.worth(own | budget.carried, kit.items) if own is not None and kit else (),
        missing=packer.missing(own, budget) if own is not None else (),
        savings=(),
    )


def next_to_buy(advice: Advice) -> Addition | None:
    """What to buy next for a kit: most gain for the money that there is; None where nothing helps."""
    most = advice.budget.money
    fitting = [added for added in advice.missing if added.gain > 0 and (most is None or added.price <= most)]
    return max(fitting, key=lambda added: (added.gain / max(added.price, 1.0), added.gain), default=None)


def lines(library: Library, advice: Advice) -> Iterator[str]:
    """The advice for people."""
    best, budget = advice.best, advice.budget
    if not advice.frontier[-1].items and not advice.uncovered:
        yield f"{advice.machine.title}: no complaint of this library strands; there is nothing to carry."
        return
    yield f"{advice.machine.title}: what to carry within {_limits(budget)}"
    yield (
        f"With this pack {percent(best.chance)} of strandings end at home under one's own power "
        f"({_uses(best)})."
    )
    yield ""
    yield from _table(library, advice.worths, best)
    if advice.uncovered:
        yield ""
        yield "With it one does not get home with, most frequent first:"
        for covering in advice.uncovered[:SHOWN]:
            why_not = _why_not(library, covering, advice)
            yield f"  {percent(covering.share):>5}  {library.title_of(covering.cause)}: {why_not}"
    yield ""
    yield NOT_COUNTED
    yield ""
    yield "The best chance for every weight:"
    for pack in advice.frontier:
        yield f"  {pack.grams:>6.0f} g  {percent(pack.chance):>5}  {len(pack.items)} items"
    if advice.own is not None:
        yield ""
        yield from _own(library, advice, advice.own)
    if advice.savings:
        yield ""
        yield from _prevention(library, advice.savings)


def data(advice: Advice) -> dict[str, Any]:
    """The advice as plain data. Chances are of getting home, of all strandings of the machine."""
    return {
        "machine": advice.machine.id,
        "grams_limit": advice.budget.grams,
        "litres_limit": advice.budget.litres,
        "money_limit": advice.budget.money,
        "pack": {**_pack(advice.best), "worth": [asdict(worth) for worth in advice.worths]},
        "uncovered": [
            {"cause": lack.cause, "share": lack.share, "ways": [sorted(way.items) for way in lack.ways]}
            for lack in advice.uncovered
        ],
        "frontier": [_pack(pack) for pack in advice.frontier],
        "kit": None
        if advice.own is None
        else {
            **_pack(advice.own),
            "worth": [asdict(worth) for worth in advice.own_worths],
            "missing": [asdict(added) for added in advice.missing],
            "next_to_buy": list(bought.items) if (bought := next_to_buy(advice)) else [],
        },
        "prevention": [asdict(saving) for saving in advice.savings],
    }


def _pack(pack: Pack) -> dict[str, Any]:
    return {
        "items": list(pack.items),
        "grams": pack.grams,
        "litres": round(pack.litres, 6),
        "money": pack.money,
        "probability": pack.chance,
    }


def _limits(budget: Budget) -> str:
    parts = [f"{budget.grams:.0f} g"]
    if budget.litres is not None:
        parts.append(f"{budget.litres:g} litres")
    if budget.money is not None:
        parts.append(f"{budget.money:g} in money")
    return ", ".join(parts)


def _uses(pack: Pack) -> str:
    return f"{pack.grams:.0f} g, {pack.litres:.2f} litres, {pack.money:g} in money"


def _table(library: Library, worths: Sequence[Worth], pack: Pack) -> Iterator[str]:
    if not pack.items:
        yield "Nothing that can be carried within these limits helps."
        return
    yield "  grams  without it  item"
    for worth in worths:
        item = library.items[worth.item]
        serves = ", ".join(lower_first(library.title_of(cause)) for cause in worth.causes[:2])
        more = f" and {len(worth.causes) - 2} more" if len(worth.causes) > 2 else ""
        served = f" ({serves}{more})" if serves else ""
        yield f"  {item.grams:>5.0f}  {_points(-worth.loss):>10}  {item.title}{served}"


def _why_not(library: Library, covering: Covering, advice: Advice) -> str:
    if not covering.ways:
        return "nothing finds and mends it by the road"
    have = frozenset(advice.best.items) | advice.budget.carried
    lacking = min(
        (way.items - have for way in covering.ways),
        key=lambda items: (sum(library.items[item].grams for item in items), sorted(items)),
    )
    return f"lacks {_names(library, sorted(lacking))}"


def _own(library: Library, advice: Advice, own: Pack) -> Iterator[str]:
    yield f"The kit as it is: {percent(own.chance)} ({_uses(own)})."
    idle = [own_worth.item for own_worth in advice.own_worths if own_worth.loss <= 0.0]
    if idle:
        yield f"Carried in it without use by itself: {_names(library, idle)}."
    gains = [addition for addition in advice.missing if addition.gain >= 0.001][:SHOWN]
    if gains:
        yield "What it lacks, most gain for the weight first:"
        for gain in gains:
            yield f"  {gain.grams:>5.0f} g  {_points(gain.gain):>6}  {_names(library, gain.items)}"
        bought = next_to_buy(advice)
        if bought is not None:
            yield (
                f"Best next thing to buy: {_names(library, bought.items)}, {bought.price:g} in money, "
                f"{_points(bought.gain)}."
            )
    else:
        yield "Nothing that one could add to it helps."


def _prevention(library: Library, savings: Sequence[MinutesSaved]) -> Iterator[str]:
    yield "Beforehand, most breakdowns saved for the money first (of 100 strandings):"
    yield "  saved  minutes  work  money  job"
    for saving in savings:
        service = library.services[saving.service]
        parts = f" ({_names(library, saving.parts)})" if saving.parts else ""
        numbers = (
            f"{saving.breakdowns:>5.1f}  {saving.minutes_saved:>7.0f}  {saving.work_minutes:>4.0f}"
            f"  {saving.money:>5g}"
        )
        yield f"  {numbers}  {service.title}{parts}"


def _points(change: float) -> str:
    """A change of a chance in whole and tenth percent, with its sign."""
    return f"{change * 100:+.1f} %"


def _names(library: Library, items: Sequence[ItemId]) -> str:
    return ", ".join(lower_first(library.items[item].title) for item in items)
