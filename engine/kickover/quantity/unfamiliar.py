"""The last resort for a unit outside the table: ask the general units library.

It refuses anything but a plain product or quotient of unit names, so no expression is ever computed
from what a person typed.
"""

from __future__ import annotations

import re
from functools import cache
from typing import TYPE_CHECKING

from kickover.quantity.table import UNITS
from kickover.quantity.value import Quantity

if TYPE_CHECKING:
    from pint import UnitRegistry

_PLAIN_NAMES = re.compile(r"[A-Za-zµΩ°]+[23]?(?: ?[*/] ?[A-Za-zµΩ°]+[23]?){0,3}")

# How the units library writes the base unit of each dimension. Dimensions that it cannot tell apart
# (torque and energy, revolutions and cycles, plain ratios and angles) are tried only when expected.
_BASE_NAMES = {
    "pressure": "bar",
    "resistance": "ohm",
    "voltage": "volt",
    "current": "ampere",
    "power": "kilowatt",
    "capacitance": "microfarad",
    "length": "millimeter",
    "area": "millimeter ** 2",
    "volume": "milliliter",
    "mass": "gram",
    "time": "minute",
    "speed": "kilometer / hour",
    "temperature": "degC",
    "force": "newton",
    "flow": "milliliter / minute",
    "acceleration": "meter / second ** 2",
    "density": "kilogram / meter ** 3",
}
_WHEN_EXPECTED = {"torque": "newton * meter", "frequency": "hertz", "engine-speed": "rpm", "angle": "degree"}


def read_unfamiliar(value: float, unit: str, expected: str | None) -> Quantity | None:
    """Read `value` in a unit outside the table into the base unit of its dimension, or give None."""
    if len(unit) > 40 or _PLAIN_NAMES.fullmatch(unit.strip()) is None:
        return None
    # Half a second to import, and hardly ever needed: start-up must not pay for it.
    import pint

    registry = _registry()
    names = re.findall(r"[A-Za-zµΩ°]+", unit)
    # With a prefix nearly any short typing slip is some unit: "pin" would be a pico-inch.
    if not all(any(not prefix for prefix, _, _ in registry.parse_unit_name(name)) for name in names):
        return None
    spelt = re.sub(r"(?<=[A-Za-z])([23])", r"**\1", unit.strip())
    try:
        reading = registry.Quantity(value, registry.parse_units(spelt))
        for dimension, base_name in _wanted(expected).items():
            if reading.is_compatible_with(base_name):
                base = next(symbol for symbol, row in UNITS.items() if row.dimension == dimension)
                return Quantity(float(reading.to(base_name).magnitude), base)
    except (pint.PintError, ArithmeticError, AttributeError, TypeError, ValueError, AssertionError):
        return None
    return None


@cache
def _registry() -> UnitRegistry[float]:
    import pint

    return pint.UnitRegistry()


def _wanted(expected: str | None) -> dict[str, str]:
    if expected is None:
        return _BASE_NAMES
    known = _BASE_NAMES | _WHEN_EXPECTED
    return {expected: known[expected]} if expected in known else {}
