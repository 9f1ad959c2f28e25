"""Çengel and Boles, Thermodynamics, the ideal Otto cycle: ratio 8 from 100 kPa and 17 °C (from memory).

With real specific heats the book finds 1799.7 kPa at the end of compression.
"""

from __future__ import annotations

import pytest

from kickover.formulas import compute
from kickover.units import Quantity


def test_the_lossless_limit_is_within_three_percent_of_the_worked_example() -> None:
    found = compute("cranking-pressure", {"ratio": 8, "exponent": 1.4, "pressure": Quantity(100, "kPa")})
    assert found.values["absolute-pressure"].within("kPa") == pytest.approx(1799.7, rel=0.03)


# Ratio, exponent, gauge bar at sea level: p (rⁿ − 1) worked outside this program.
@pytest.mark.parametrize(
    ("ratio", "exponent", "bar"),
    [
        (6, 1.20, 7.69),
        (6, 1.35, 10.37),
        (7, 1.25, 10.52),
        (8, 1.30, 14.11),
        (9, 1.25, 14.78),
        (10, 1.20, 15.05),
    ],
)
def test_the_polytropic_table(ratio: int, exponent: float, bar: float) -> None:
    found = compute("cranking-pressure", {"ratio": ratio, "exponent": exponent})
    assert found.value.value == pytest.approx(bar, abs=0.006)


@pytest.mark.parametrize(("altitude", "bar"), [(1500, 10.53), (3000, 8.73)])
def test_the_same_engine_reads_lower_on_the_mountain(altitude: int, bar: float) -> None:
    assert compute("cranking-pressure", {"ratio": 8, "altitude": altitude}).value.value == pytest.approx(
        bar, abs=0.006
    )
    moved = compute("compression-at-altitude", {"reading": 12.62, "altitude": altitude})
    assert moved.value.value == pytest.approx(bar, abs=0.011)


def test_a_gauge_hose_of_two_cubic_centimetres_costs_a_small_engine_a_quarter_of_its_reading() -> None:
    found = compute("cranking-pressure", {"ratio": 7, "displacement": 48, "hose-volume": 2})
    assert found.values["effective-ratio"].value == pytest.approx(5.8)
    assert found.value.value == pytest.approx(8.1, abs=0.02)
