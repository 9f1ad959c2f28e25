"""Readings with units: parse what people type, convert, print.

Small on purpose: a table of the units that workshops use, exact ratios between them, and nothing
else. It knows no formula and no limit, and it never guesses between two meanings of one reading:
it asks, by way of a `QuantityError`.
"""

from kickover.quantity.parse import parse, parse_range
from kickover.quantity.show import show, show_number
from kickover.quantity.units import (
    AmbiguousReadingError,
    OverRangeError,
    QuantityError,
    UnknownUnitError,
    WrongDimensionError,
    dimension_of,
    dimensions,
    known_units,
)
from kickover.quantity.value import Quantity

__all__ = [
    "AmbiguousReadingError",
    "OverRangeError",
    "Quantity",
    "QuantityError",
    "UnknownUnitError",
    "WrongDimensionError",
    "dimension_of",
    "dimensions",
    "known_units",
    "parse",
    "parse_range",
    "show",
    "show_number",
]
