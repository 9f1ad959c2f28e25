"""The general-purpose package `CoolProp`: air as a real gas, against our ideal one."""

from __future__ import annotations

import pytest

from kickover.formulas import compute
from kickover.units import Quantity


def of_air(asked: str, one: str, value: float, other: str, further: float) -> float:
    """A property of air; the package is large and is imported for its tests alone."""
    from CoolProp.CoolProp import PropsSI

    return PropsSI(asked, one, value, other, further, "Air")


@pytest.mark.parametrize("celsius", [-10, 0, 15, 35])
@pytest.mark.parametrize("hpa", [700, 845.56, 1013.25])
def test_density_of_real_air_is_within_a_thousandth(celsius: int, hpa: float) -> None:
    real = of_air("D", "T", celsius + 273.15, "P", hpa * 100)
    ours = compute("air-density", {"temperature": celsius, "pressure": Quantity(hpa, "hPa")})
    assert ours.value.value == pytest.approx(real, rel=1e-3)


@pytest.mark.parametrize("ratio", [5, 6, 7, 8, 10])
def test_lossless_compression_of_real_air_lies_between_the_usual_exponent_and_the_limit(ratio: int) -> None:
    density = of_air("D", "T", 293.15, "P", 101325)
    entropy = of_air("S", "T", 293.15, "P", 101325)
    real = of_air("P", "D", density * ratio, "S", entropy) / 1e5

    def absolute(exponent: float) -> float:
        return (
            compute("cranking-pressure", {"ratio": ratio, "exponent": exponent})
            .values["absolute-pressure"]
            .value
        )

    assert absolute(1.35) < real
    assert absolute(1.4) == pytest.approx(real, rel=0.03)
