"""NBS Handbook 100, Copper Wire Tables (1966): ohms per 1000 ft at 20 °C by American wire gauge.

The values for gauges 12 to 30 were seen in a published wire table that repeats them; gauge 10 is from memory.
"""

from __future__ import annotations

import pytest

from kickover.formulas import compute
from kickover.units import Quantity

# Gauge, diameter in mils, ohms per 1000 ft.
TABLE = [
    (10, 101.9, 0.9989),
    (12, 80.808, 1.588),
    (14, 64.084, 2.525),
    (16, 50.820, 4.016),
    (18, 40.303, 6.385),
    (20, 31.961, 10.15),
    (22, 25.347, 16.14),
    (24, 20.100, 25.67),
    (26, 15.940, 40.81),
    (28, 12.641, 64.90),
    (30, 10.025, 103.2),
]


@pytest.mark.parametrize(("gauge", "mils", "ohms"), TABLE, ids=[f"gauge-{row[0]}" for row in TABLE])
def test_resistance_of_a_thousand_feet_is_as_tabled(gauge: int, mils: float, ohms: float) -> None:
    assert gauge
    wire = {"length": Quantity(1000, "ft"), "diameter": Quantity(mils, "thou")}
    assert compute("wire-resistance", wire).value.value == pytest.approx(ohms, rel=2e-3)
