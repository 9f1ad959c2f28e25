"""NIST SP 811, appendix B.8: factors for units listed alphabetically, to the digits printed there.

From memory, except psi, inch of mercury and foot-pound, which were seen in restatements.
"""

from __future__ import annotations

import pytest

from kickover.units import Quantity

# Unit, SI unit of this project, printed factor.
FACTORS = [
    ("psi", "Pa", 6.894757e3),
    ("atm", "Pa", 1.01325e5),
    ("Torr", "Pa", 1.333224e2),
    ("mmHg", "Pa", 1.333224e2),
    ("inHg", "Pa", 3.386389e3),
    ("inH2O", "Pa", 2.490889e2),
    ("kgf/cm²", "Pa", 9.80665e4),
    ("mbar", "Pa", 1.0e2),
    ("ft·lb", "N·m", 1.355818),
    ("in·lb", "N·m", 1.129848e-1),
    ("kgf·m", "N·m", 9.80665),
    ("lbf", "N", 4.448222),
    ("kgf", "N", 9.80665),
    ("lbf/in", "N/mm", 1.751268e-1),
    ("in", "mm", 25.4),
    ("thou", "mm", 2.54e-2),
    ("ft", "m", 3.048e-1),
    ("mi", "m", 1.609344e3),
    ("in²", "mm²", 6.4516e2),
    ("in³", "cm³", 1.638706e1),
    ("US gal", "L", 3.785412),
    ("imp gal", "L", 4.54609),
    ("US fl oz", "ml", 2.957353e1),
    ("imp fl oz", "ml", 2.841306e1),
    ("US qt", "L", 9.463529e-1),
    ("US pt", "L", 4.731765e-1),
    ("lb", "kg", 4.535924e-1),
    ("oz", "g", 2.834952e1),
    ("lb/ft³", "kg/m³", 1.601846e1),
    ("mph", "m/s", 4.4704e-1),
    ("hp", "W", 7.456999e2),
    ("PS", "W", 7.354988e2),
    ("gₙ", "m/s²", 9.80665),
    ("°", "rad", 1.745329e-2),
    ("rpm", "rad/s", 1.047198e-1),
]


@pytest.mark.parametrize(("unit", "metric", "factor"), FACTORS, ids=[row[0] for row in FACTORS])
def test_the_printed_factor_is_met(unit: str, metric: str, factor: float) -> None:
    assert Quantity(1, unit).to(metric).value == pytest.approx(factor, rel=6e-7)


# Appendix B.8, temperature: t/°C = (t/°F − 32)/1.8; T/K = t/°C + 273.15.
@pytest.mark.parametrize(("fahrenheit", "celsius"), [(32, 0), (212, 100), (59, 15), (-40, -40), (98.6, 37)])
def test_temperatures_follow_the_printed_equations(fahrenheit: float, celsius: float) -> None:
    assert Quantity(fahrenheit, "°F").to("°C").value == pytest.approx(celsius, abs=1e-12)
    assert Quantity(celsius, "°C").to("K").value == pytest.approx(celsius + 273.15)


def test_a_difference_of_temperature_has_no_zero_to_shift() -> None:
    assert Quantity(18, "Δ°F").to("Δ°C").value == pytest.approx(10)
