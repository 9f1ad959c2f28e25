"""ASTM B258, American wire gauge: diameters and copper resistances as public wire tables repeat them.

36 gauge is 0.0050 in, 0000 is 0.4600 in, with 39 equal steps between (seen in a public account of the
standard); millimetres and ohms a kilometre were seen in a public wire table.
"""

from __future__ import annotations

import pytest

from kickover.formulas import compute

# Gauge: mm, ohms a kilometre at 20 °C.
TABLE = {
    -3: (11.6840, 0.16),
    0: (8.2525, 0.32),
    10: (2.5883, 3.28),
    14: (1.6281, 8.28),
    16: (1.2903, 13.17),
    18: (1.0236, 20.94),
    20: (0.8128, 33.29),
    24: (0.5105, 84.20),
    30: (0.2540, 338.50),
    36: (0.1270, 1360.00),
    40: (0.0787, 3440.00),
}


@pytest.mark.parametrize("gauge", TABLE)
def test_sizes_and_resistances_are_as_tabled(gauge: int) -> None:
    millimetres, ohms = TABLE[gauge]
    found = compute("wire-gauge", {"gauge": gauge}).values
    # The table rounds to a tenth of a mil before it turns to millimetres.
    assert found["diameter"].value == pytest.approx(millimetres, abs=1.5e-3 + 0.002 * millimetres)
    assert found["resistance-of-a-kilometre"].value == pytest.approx(ohms, rel=0.03, abs=0.006)


@pytest.mark.parametrize("gauge", [10, 14, 18, 22])
def test_the_wire_for_a_drop_loses_no_more_and_the_next_thinner_does(gauge: int) -> None:
    """The loss worked out by the wire's own resistance, that of NBS Handbook 100, comes back as its gauge."""
    ohms = compute("wire-gauge", {"gauge": gauge}).values["resistance-of-a-kilometre"].value
    lost = ohms / 1000 * 6 * 5
    need = {"length": 6, "current": 5}
    assert compute("wire-for-drop", {**need, "voltage-lost": lost * 1.001}).values["gauge"].value == gauge
    assert compute("wire-for-drop", {**need, "voltage-lost": lost * 0.999}).values["gauge"].value == gauge - 1
