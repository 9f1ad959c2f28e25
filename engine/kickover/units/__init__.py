"""Readings with units: parse what people type, convert, print.

Small on purpose: a table of the units that workshops use, exact ratios between them, and nothing
else. It knows no formula and no limit, and it never guesses between two meanings of one reading:
it asks, by way of a `QuantityError`.
"""

from kickover.units.lookup import (
    AmbiguousReadingError,
    OverRangeError,
    QuantityError,
    UnknownUnitError,
    WrongDimensionError,
    dimension_of,
    dimensions,
    known_units,
)
from kickover.units.parsing import parse, parse_range, parse_stated
from kickover.units.printing import METRIC_FIRST, ORDERS, show, show_number, written_first
from kickover.units.quantity import Quantity

__all__ = [
    "METRIC_FIRST",
    "ORDERS",
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
    "parse_stated",
    "show",
    "show_number",
    "written_first",
]
