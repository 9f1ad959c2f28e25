"""The small values inside entries: texts, ids, conditions, quantities, limits.

Reads data whose form has been checked. What still cannot be a value (a quantity that is none) is
reported on the entry, and something harmless is given in its place.
"""

from __future__ import annotations

from collections.abc import Sequence

from kickover.authoring.located import Step, Table, inner, listed
from kickover.authoring.sections import Entry
from kickover.core.ids import FigureId, HazardId, ItemId, SetupId, SourceId
from kickover.model.library import (
    ALWAYS,
    All,
    Any,
    Condition,
    FigureRef,
    FormulaRef,
    Is,
    Limit,
    Needs,
    Not,
)
from kickover.units import Quantity, QuantityError, dimension_of, parse

_RATIO = " ratio"
_DIFFERENCES = {"°C": "Δ°C", "K": "Δ°C", "°F": "Δ°F"}


def text(table: Table, key: str, otherwise: str = "") -> str:
    """Give the text at `key`, without the line break that a block of text ends with."""
    return str(table.get(key, otherwise)).rstrip("\n")


def texts(table: Table, key: str) -> tuple[str, ...]:
    """Give the list of texts at `key`, empty when there is none."""
    return tuple(str(one) for one in listed(table, key))


def number(table: Table, key: str, otherwise: float = 0.0) -> float:
    """Give the number at `key`."""
    found = table.get(key, otherwise)
    return float(found) if isinstance(found, int | float) else otherwise


def sources(table: Table) -> tuple[SourceId, ...]:
    """Give the ids of the sources, of which one may be written without a list."""
    written = table.get("source")
    return tuple(
        SourceId(str(one)) for one in ([written] if isinstance(written, str) else listed(table, "source"))
    )


def condition(table: Table, key: str) -> Condition:
    """Give the condition at `key`, which always holds when nothing is written."""
    return _condition(table[key]) if key in table else ALWAYS


def _condition(written: object) -> Condition:
    if not isinstance(written, Table):
        return Is(str(written))
    word = next(iter(written))
    if word == "not":
        return Not(_condition(written[word]))
    parts = tuple(_condition(one) for one in listed(written, word))
    return All(parts) if word == "all" else Any(parts)


def needs(entry: Entry) -> Needs:
    """Give what a step needs, costs and leaves."""
    table = entry.data
    return Needs(
        minutes=number(table, "minutes"),
        price=number(table, "price"),
        tools=tuple(ItemId(one) for one in texts(table, "tools")),
        spares=tuple(ItemId(one) for one in texts(table, "spares")),
        setups=setups(table, "needs"),
        undone=setups(table, "undone"),
        leaves=setups(table, "leaves"),
        clears=setups(table, "clears"),
        not_during=setups(table, "not_during"),
        hazards=hazards(table),
        only_if=condition(table, "only_if"),
        only_when=condition(table, "only_when"),
        spot=text(table, "spot"),
    )


def setups(table: Table, key: str) -> tuple[SetupId, ...]:
    """Give ids of setups and dangers."""
    return tuple(SetupId(one) for one in texts(table, key))


def hazards(table: Table) -> tuple[HazardId, ...]:
    """Give the ids of a step's hazards."""
    return tuple(HazardId(one) for one in texts(table, "hazards"))


def quantity(entry: Entry, steps: Sequence[Step], written: object, unit: str | None = None) -> Quantity:
    """Give a quantity; a bare number is in `unit`, if there is one. `6.5 ratio` has no unit, and says so."""
    given = str(written)
    try:
        if given.endswith(_RATIO):
            return parse(given.removesuffix(_RATIO), default_unit="")
        return parse(given, default_unit=unit)
    except QuantityError as error:
        _report(entry, steps, error)
        return Quantity(0.0, "")


def amount(entry: Entry, steps: Sequence[Step], written: object, unit: str | None) -> Quantity:
    """Give an amount to be added to a quantity in `unit`, or an error of it, as a number of that unit.

    For temperatures it is a difference, so that 9 °F is 5 °C and not -13 °C.
    """
    difference = _DIFFERENCES.get(unit or "")
    given = quantity(entry, steps, written, difference or unit)
    if difference is None or given.dimension != dimension_of(difference):
        return given
    return Quantity(given.within(difference), unit or "")


def unit(entry: Entry, steps: Sequence[Step], written: object) -> str | None:
    """Give the symbol of a unit, or None when it is none."""
    try:
        return "" if written == _RATIO.strip() else Quantity(0.0, str(written)).unit
    except QuantityError as error:
        _report(entry, steps, error)
        return None


def limit(entry: Entry, steps: Sequence[Step], written: object, unit: str | None) -> Limit:
    """Give the limit of a band, whose bare numbers are in the unit of the reading."""
    if not isinstance(written, Table):
        return Limit(quantity(entry, steps, written, unit))
    base: FigureRef | FormulaRef
    if "formula" in written:
        arguments = {
            name: _argument(entry, [*steps, "with", name], given)
            for name, given in inner(written, "with").items()
        }
        base = FormulaRef(str(written["formula"]), arguments)
    else:
        base = FigureRef(FigureId(str(written["figure"])))
    plus = amount(entry, [*steps, "plus"], written["plus"], unit) if "plus" in written else None
    return Limit(base, number(written, "times", 1.0), plus)


def _argument(entry: Entry, steps: Sequence[Step], given: object) -> FigureRef | Quantity:
    if isinstance(given, str) and given[:1].isalpha():
        return FigureRef(FigureId(given))
    bare = str(given).replace(".", "", 1).isdigit()
    return quantity(entry, steps, given, "" if bare else None)


def _report(entry: Entry, steps: Sequence[Step], error: QuantityError) -> None:
    message, _, hint = str(error).partition("; ")
    entry.report(steps, message, hint or "write a number with its unit, such as `0.35 mm`")
