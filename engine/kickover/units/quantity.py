"""A number with its unit, and exact conversion between the units of one dimension."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import total_ordering

from kickover.units.lookup import QuantityError, WrongDimensionError, unit_named
from kickover.units.unit_table import UNITS, Unit


@total_ordering
@dataclass(frozen=True, slots=True, eq=False)
class Quantity:
    """A reading: a finite number in a unit of the table.

    The unit may be given in any known spelling and is kept as its symbol. Two quantities are equal when
    they say the same of the same dimension, so 1 bar equals 100 kPa. Order is defined within one
    dimension; across dimensions it raises `WrongDimensionError`.
    """

    value: float
    unit: str

    def __post_init__(self) -> None:
        if not math.isfinite(self.value):
            raise QuantityError(f"{self.value} is not a number that can be measured; give a finite one")
        object.__setattr__(self, "value", float(self.value))
        object.__setattr__(self, "unit", unit_named(self.unit).symbol)

    @property
    def dimension(self) -> str:
        """The dimension of the unit, such as `pressure`."""
        return UNITS[self.unit].dimension

    def to(self, unit: str) -> Quantity:
        """Convert to another unit of the same dimension, rounding once.

        Raises `WrongDimensionError` for a unit of another dimension, `UnknownUnitError` for none.
        """
        source, target = UNITS[self.unit], unit_named(unit)
        if source.dimension != target.dimension:
            raise WrongDimensionError(
                f"{self} is a {spaced(source.dimension)} and cannot be given in"
                f" {target.symbol or 'a bare number'}, which is a {spaced(target.dimension)}"
            )
        if source is target:
            return self
        return Quantity(_from_base(_to_base(self.value, source), target), target.symbol)

    def within(self, unit: str) -> float:
        """Give the bare number of this quantity in `unit`."""
        return self.to(unit).value

    def __lt__(self, other: Quantity) -> bool:
        if self.dimension != other.dimension:
            raise WrongDimensionError(
                f"{self} and {other} cannot be compared:"
                f" one is a {spaced(self.dimension)}, the other a {spaced(other.dimension)}"
            )
        return self._base() < other._base()

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Quantity):
            return NotImplemented
        return self.dimension == other.dimension and self._base() == other._base()

    def __hash__(self) -> int:
        return hash((self.dimension, self._base()))

    def __str__(self) -> str:
        gap = "" if self.unit == ":1" else " "
        return f"{self.value:.12g}{gap}{self.unit}".rstrip()

    def _base(self) -> float:
        return float(_to_base(self.value, UNITS[self.unit]))


def spaced(dimension: str) -> str:
    """Write a dimension's name for people."""
    return dimension.replace("-", " ")


def _to_base(value: float, unit: Unit) -> Fraction:
    return Fraction(value) * unit.size + unit.zero


def _from_base(base: Fraction, unit: Unit) -> float:
    try:
        return float((base - unit.zero) / unit.size)
    except OverflowError:
        raise QuantityError(f"the value is too large to be given in {unit.symbol}") from None
