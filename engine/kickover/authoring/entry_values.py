"""The small values inside entries: texts, numbers, conditions, quantities.

Reads data whose form has been checked. What still cannot be a value (a quantity that is none) is
reported on the entry, and something harmless is given in its place.
"""

from __future__ import annotations

from collections.abc import Sequence

from kickover.authoring.located import Step, Table, listed
from kickover.authoring.sections import Entry
from kickover.model.library import All, Any, Condition, Is, Not
from kickover.units import Quantity, QuantityError, dimension_of, parse, parse_stated

_RATIO = " ratio"
_DIFFERENCES = {"°C": "Δ°C", "K": "Δ°C", "°F": "Δ°F"}


def text(table: Table, key: str, otherwise: str = "") -> str:
    """Give the text at `key`, without the line break that a block of text ends with."""
    return str(table.get(key, otherwise)).rstrip("\n")


def number(table: Table, key: str, otherwise: float = 0.0) -> float:
    """Give the number at `key`."""
    found = table.get(key, otherwise)
    return float(found) if isinstance(found, int | float) else otherwise


def condition(written: object) -> Condition:
    """Give a condition: a name, or `{not: ...}`, `{all: [...]}`, `{any: [...]}`."""
    if not isinstance(written, Table):
        return Is(str(written))
    word = next(iter(written))
    if word == "not":
        return Not(condition(written[word]))
    parts = tuple(condition(one) for one in listed(written, word))
    return All(parts) if word == "all" else Any(parts)


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


def stated_quantity(entry: Entry, steps: Sequence[Step], written: object) -> Quantity:
    """Give a quantity of any kind, which says its unit; a bare number is a ratio."""
    try:
        return parse_stated(str(written).removesuffix(_RATIO))
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


def unit_symbol(entry: Entry, steps: Sequence[Step], written: object) -> str | None:
    """Give the symbol of a unit, or None when it is none."""
    try:
        return "" if written == _RATIO.strip() else Quantity(0.0, str(written)).unit
    except QuantityError as error:
        _report(entry, steps, error)
        return None


def _report(entry: Entry, steps: Sequence[Step], error: QuantityError) -> None:
    message, _, hint = str(error).partition("; ")
    entry.report(steps, message, hint or "write a number with its unit, such as `0.35 mm`")
