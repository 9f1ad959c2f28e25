"""NIST Handbook 44, appendix C: units of liquid volume, exact by definition (from memory)."""

from __future__ import annotations

import pytest

from kickover.formulas import compute
from kickover.units import Quantity

# One unit in another, exact.
EXACT = [
    ("US gal", "ml", 3785.411784),
    ("US gal", "US fl oz", 128),
    ("US gal", "US qt", 4),
    ("US qt", "US pt", 2),
    ("US gal", "in³", 231),
    ("imp gal", "ml", 4546.09),
    ("imp gal", "imp fl oz", 160),
    ("lb", "oz", 16),
    ("mi", "ft", 5280),
    ("ft", "in", 12),
]


@pytest.mark.parametrize(("unit", "part", "count"), EXACT)
def test_the_definition_is_kept_to_the_last_digit(unit: str, part: str, count: float) -> None:
    assert Quantity(1, unit).to(part).value == count


# Ratio, US fluid ounces of oil in a US gallon: 128 over the ratio.
@pytest.mark.parametrize(("ratio", "ounces"), [(16, 8), (20, 6.4), (32, 4), (40, 3.2), (50, 2.56)])
def test_oil_in_a_gallon_is_128_ounces_over_the_ratio(ratio: int, ounces: float) -> None:
    found = compute("premix", {"ratio": ratio, "fuel": Quantity(1, "US gal")})
    assert found.value.within("US fl oz") == pytest.approx(ounces)
