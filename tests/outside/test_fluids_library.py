"""The general-purpose package `fluids`: its US Standard Atmosphere 1976, equal to ISO 2533 below 11 km."""

from __future__ import annotations

import pytest
from fluids.atmosphere import ATMOSPHERE_1976

from kickover.formulas import compute


@pytest.mark.parametrize("metres", [0, 250, 800, 1450, 2000, 3500, 8000])
def test_pressure_and_density_agree(metres: int) -> None:
    theirs = ATMOSPHERE_1976(metres)
    geopotential = theirs.H
    assert compute("air-pressure", {"altitude": geopotential}).value.within("Pa") == pytest.approx(
        theirs.P, rel=1e-6
    )
    assert compute("air-density", {"altitude": geopotential}).value.value == pytest.approx(
        theirs.rho, rel=1e-5
    )


@pytest.mark.parametrize("warmer", [-20, 0, 20])
def test_density_off_the_standard_temperature_agrees(warmer: int) -> None:
    theirs = ATMOSPHERE_1976(1450, dT=warmer)
    ours = compute("air-density", {"altitude": theirs.H, "temperature": theirs.T - 273.15})
    assert ours.value.value == pytest.approx(theirs.rho, rel=1e-5)
