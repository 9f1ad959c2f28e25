"""ISO 2533 Standard Atmosphere: the tables of pressure, temperature and density.

The same values stand in ICAO Doc 7488. Rows are by geopotential height, from memory; the row at 1000 m and
the constants at sea level were seen in restatements of the tables.
"""

from __future__ import annotations

import pytest

from kickover.formulas import compute
from kickover.units import Quantity

# Height in m, temperature in K, pressure in hPa, density in kg/m³ (from memory).
TABLE = [
    (-500, 291.400, 1074.78, 1.2849),
    (0, 288.150, 1013.25, 1.2250),
    (500, 284.900, 954.61, 1.1673),
    (1000, 281.650, 898.75, 1.1116),
    (1500, 278.400, 845.56, 1.0581),
    (2000, 275.150, 794.95, 1.0065),
    (3000, 268.650, 701.08, 0.9091),
    (4000, 262.150, 616.40, 0.8191),
    (5000, 255.650, 540.20, 0.7361),
    (11000, 216.650, 226.32, 0.3639),
]


@pytest.mark.parametrize(("height", "kelvin", "hpa", "density"), TABLE)
def test_air_at_a_height_is_as_tabled(height: int, kelvin: float, hpa: float, density: float) -> None:
    air = compute("air-pressure", {"altitude": height})
    assert air.value.within("hPa") == pytest.approx(hpa, abs=0.011)
    assert air.values["standard-temperature"].within("K") == pytest.approx(kelvin, abs=1e-3)
    assert compute("air-density", {"altitude": height}).value.value == pytest.approx(density, abs=6e-5)


# σ to four places, computed from the same tables.
@pytest.mark.parametrize(
    ("height", "ratio"),
    [(0, 1.0), (500, 0.9529), (1000, 0.9075), (1500, 0.8637), (2000, 0.8216), (3000, 0.7421)],
)
def test_density_ratio_is_as_tabled(height: int, ratio: float) -> None:
    assert compute("density-ratio", {"altitude": height}).value.value == pytest.approx(ratio, abs=6e-5)


def test_a_reading_on_the_spot_replaces_the_table() -> None:
    given = compute("air-density", {"pressure": Quantity(845.56, "hPa"), "temperature": Quantity(278.4, "K")})
    assert given.value.value == pytest.approx(1.0581, abs=6e-5)
