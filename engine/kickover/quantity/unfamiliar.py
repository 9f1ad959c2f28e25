"""The last resort for a unit outside the table: ask the general units library.

It refuses anything but a plain product or quotient of unit names, so no expression is ever computed
from what a person typed.
"""

from __future__ import annotations

import re

from kickover.quantity.table import UNITS
from kickover.quantity.value import Quantity

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

    registry: pint.UnitRegistry[float] = pint.UnitRegistry()
    spelt = re.sub(r"(?<=[A-Za-z])([23])", r"**\1", unit.strip())
    names = dict(_BASE_NAMES)
    if expected in _WHEN_EXPECTED:
        names = {expected: _WHEN_EXPECTED[expected]}
    elif expected is not None:
        names = {expected: names[expected]} if expected in names else {}
    try:
        reading = registry.Quantity(value, registry.parse_units(spelt))
    except (pint.PintError, AttributeError, TypeError, ValueError, AssertionError):
        return None
    for dimension, name in names.items():
        if reading.is_compatible_with(name):
            base = next(symbol for symbol, row in UNITS.items() if row.dimension == dimension)
            return Quantity(float(reading.to(name).magnitude), base)
    return None
