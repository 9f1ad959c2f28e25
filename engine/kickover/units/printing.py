"""Print quantities for people: sensible digits, metric first, the other customary unit in brackets."""

from __future__ import annotations

import math
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from kickover.units.quantity import Quantity
from kickover.units.unit_table import UNITS

# Units that take over as a value grows, for the dimensions where a workshop writes them so.
_LADDERS: tuple[tuple[str, ...], ...] = (
    ("mΩ", "Ω", "kΩ", "MΩ"),
    ("mV", "V", "kV"),
    ("µA", "mA", "A"),
    ("pF", "nF", "µF"),
    ("W", "kW"),
    ("ml", "L"),
    ("g", "kg"),
)
_LADDER_OF = {symbol: ladder for ladder in _LADDERS for symbol in ladder}
METRIC_FIRST, CUSTOMARY_FIRST = ORDERS = ("metric", "customary")
_order = ContextVar("order", default=METRIC_FIRST)
_NO_SPACE = frozenset({"°", ":1", ""})


def show(quantity: Quantity, *, digits: int = 3) -> str:
    """Write a quantity such as `6.2 bar (90 psi)`.

    The metric value has `digits` significant digits (whole numbers are never cut short); the bracketed
    one is rounded to whole numbers from ten upwards and to two digits below, unless it is the unit the
    quantity was given in. `parse` reads the result back.
    """
    unit = UNITS[quantity.unit]
    if not unit.metric and unit.twin is not None:
        return _ordered(_plain(_scaled(quantity.to(unit.twin)), digits), _plain(quantity, digits))
    main = _scaled(quantity)
    twin = UNITS[main.unit].twin
    if twin is None:
        return _plain(main, digits)
    other = main.to(twin)
    return _ordered(_plain(main, digits), _plain(other, 0 if abs(other.value) >= 10 else 2))


@contextmanager
def written_first(order: str) -> Iterator[None]:
    """Within this, `show` writes metric or customary units first, as `order`, one of ORDERS, says.

    It is the reader's choice and holds for all that is printed in one run, as the language of a page does.
    """
    token = _order.set(order)
    try:
        yield
    finally:
        _order.reset(token)


def _ordered(metric: str, customary: str) -> str:
    return f"{customary} ({metric})" if _order.get() == CUSTOMARY_FIRST else f"{metric} ({customary})"


def show_number(value: float, digits: int = 3) -> str:
    """Write a bare number with `digits` significant digits, whole numbers uncut, and no trailing noise."""
    if value == 0:
        return "0"
    size = math.floor(math.log10(abs(value)))
    if not -9 <= size < 15:
        return f"{value:.{max(digits, 1)}g}"
    decimals = max(0, digits - 1 - size)
    text = f"{value:.{decimals}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _plain(quantity: Quantity, digits: int) -> str:
    gap = "" if quantity.unit in _NO_SPACE else " "
    return f"{show_number(quantity.value, digits)}{gap}{quantity.unit}"


def _scaled(quantity: Quantity) -> Quantity:
    """Move an unhandy number to the unit of its ladder that makes it at least one and below a thousand."""
    ladder = _LADDER_OF.get(quantity.unit)
    if ladder is None or quantity.value == 0 or 0.1 <= abs(quantity.value) < 1000:
        return quantity
    best = quantity.to(ladder[0])
    for symbol in ladder[1:]:
        step = quantity.to(symbol)
        if abs(step.value) < 1:
            break
        best = step
    return best
