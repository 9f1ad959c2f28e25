"""IEC 60028, International standard of resistance for copper: 0.00393 per °C at 20 °C, 1/58 Ω·mm²/m.

The coefficient and the worked example were seen in restatements of the standard (an electrical engineering
forum's note on it, and a handbook page that derives it from −234.5 °C); the resistivity is from memory.
"""

from __future__ import annotations

import pytest

from kickover.formulas import compute


def test_the_worked_example_of_a_tenth_of_an_ohm_at_50_degrees() -> None:
    found = compute("winding-resistance", {"resistance": 0.1, "to-temperature": 50})
    assert found.value.value == pytest.approx(0.11179, abs=1e-6)


# Factors against 25 °C, seen in a published table of corrections for copper conductors.
@pytest.mark.parametrize(
    ("celsius", "factor"),
    [(40, 1.058), (50, 1.096), (60, 1.135), (75, 1.193), (90, 1.250), (100, 1.289), (150, 1.482)],
)
def test_correction_factors_against_25_degrees_are_as_tabled(celsius: int, factor: float) -> None:
    found = compute("winding-resistance", {"resistance": 1, "temperature": 25, "to-temperature": celsius})
    assert found.value.value == pytest.approx(factor, abs=0.0011)


def test_the_rule_with_the_temperature_of_no_resistance_agrees() -> None:
    # R₂/R₁ = (θ₂ + 234.5)/(θ₁ + 234.5), seen in an electrical engineering reference page.
    found = compute("winding-resistance", {"resistance": 5, "temperature": 20, "to-temperature": 80})
    assert found.value.value == pytest.approx(5 * (80 + 234.5) / (20 + 234.5), rel=1e-4)


def test_one_metre_of_one_square_millimetre() -> None:
    found = compute("wire-resistance", {"length": 1, "diameter": 1.1283791671})
    assert found.value.value == pytest.approx(0.017241, abs=1e-6)
