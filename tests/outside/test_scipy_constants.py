"""The general-purpose package `scipy`: its table of unit sizes in SI."""

from __future__ import annotations

import pytest
from scipy import constants

from kickover.units import Quantity

SIZES = [
    ("psi", "Pa", constants.psi),
    ("atm", "Pa", constants.atm),
    ("Torr", "Pa", constants.torr),
    ("in", "m", constants.inch),
    ("thou", "m", constants.mil),
    ("ft", "m", constants.foot),
    ("mi", "m", constants.mile),
    ("US gal", "L", constants.gallon * 1000),
    ("imp gal", "L", constants.gallon_imp * 1000),
    ("US fl oz", "L", constants.fluid_ounce * 1000),
    ("imp fl oz", "L", constants.fluid_ounce_imp * 1000),
    ("lb", "kg", constants.pound),
    ("oz", "kg", constants.oz),
    ("lbf", "N", constants.lbf),
    ("kgf", "N", constants.kgf),
    ("hp", "W", constants.hp),
    ("mph", "m/s", constants.mph),
    ("km/h", "m/s", constants.kmh),
    ("gₙ", "m/s²", constants.g),
    ("°", "rad", constants.degree),
]


@pytest.mark.parametrize(("unit", "si", "size"), SIZES, ids=[row[0] for row in SIZES])
def test_sizes_agree(unit: str, si: str, size: float) -> None:
    assert Quantity(1, unit).to(si).value == pytest.approx(size, rel=1e-14)


@pytest.mark.parametrize("value", [-40.0, 0.0, 21.5, 100.0])
def test_temperatures_agree(value: float) -> None:
    theirs = float(constants.convert_temperature(value, "Celsius", "Fahrenheit"))
    assert Quantity(value, "°C").to("°F").value == pytest.approx(theirs, abs=1e-12)
