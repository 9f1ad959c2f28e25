"""The general-purpose package `ambiance`, a full implementation of the ICAO Standard Atmosphere (1993)."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kickover.formulas import compute


@cache
def package() -> Any:
    """The package's atmosphere; it brings much and is imported for its tests alone."""
    from ambiance import Atmosphere

    return Atmosphere


@given(st.floats(-400, 10900))
def test_pressure_temperature_and_density_agree_at_any_height(geopotential: float) -> None:
    atmosphere = package()
    theirs = atmosphere(atmosphere.geop2geom_height(geopotential))
    air = compute("air-pressure", {"altitude": geopotential})
    assert air.value.within("Pa") == pytest.approx(float(theirs.pressure[0]), rel=1e-6)
    assert air.values["standard-temperature"].within("K") == pytest.approx(
        float(theirs.temperature[0]), rel=1e-9
    )
    density = compute("air-density", {"altitude": geopotential})
    assert density.value.value == pytest.approx(float(theirs.density[0]), rel=1e-6)


@pytest.mark.parametrize("height", [500, 1450, 3000])
def test_taking_map_metres_for_geopotential_ones_costs_less_than_one_part_in_a_thousand(height: int) -> None:
    theirs = package()(height)
    assert compute("air-pressure", {"altitude": height}).value.within("Pa") == pytest.approx(
        float(theirs.pressure[0]), rel=1e-3
    )
