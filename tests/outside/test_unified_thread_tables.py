"""Unified inch threads: basic sizes and stress areas of ASME B1.1, and the drills that tap charts list.

Pitch diameters, minor diameters and stress areas were seen in public thread tables (a fine-series table with
all three, a coarse-series table with stress areas); drills in a public drill and tap chart at 75 % of
thread.
"""

from __future__ import annotations

import pytest

from kickover.formulas import compute

INCH = 25.4

# Thread: pitch diameter, minor diameter of the internal thread (inches), stress area (square inches).
FINE = {
    "4-48": (0.0985, 0.0894, 0.00661),
    "6-40": (0.1218, 0.1109, 0.01015),
    "8-36": (0.1460, 0.1339, 0.01474),
    "10-32": (0.1697, 0.1562, 0.0200),
    "1/4-28": (0.2268, 0.2113, 0.0364),
    "5/16-24": (0.2854, 0.2674, 0.0580),
    "3/8-24": (0.3479, 0.3299, 0.0878),
    "7/16-20": (0.4050, 0.3834, 0.1187),
    "1/2-20": (0.4675, 0.4459, 0.1599),
    "9/16-18": (0.5264, 0.5024, 0.203),
    "5/8-18": (0.5889, 0.5649, 0.256),
}
# Thread: stress area (square inches), drill of the charts (inches).
COARSE = {
    "4-40": (0.00604, 0.0890),
    "6-32": (0.00909, 0.1065),
    "8-32": (0.0140, 0.1360),
    "10-24": (0.0175, 0.1495),
    "1/4-20": (0.0318, 0.2010),
    "5/16-18": (0.0524, 0.2570),
    "3/8-16": (0.0775, 0.3125),
    "7/16-14": (0.1063, 0.3680),
    "1/2-13": (0.1419, 0.4219),
    "5/8-11": (0.226, 0.5312),
}


@pytest.mark.parametrize("name", FINE)
def test_the_fine_series_is_as_tabled(name: str) -> None:
    pitch_diameter, minor, area = FINE[name]
    found = compute("unified-thread", {"thread": name}).values
    assert found["pitch-diameter"].value == pytest.approx(pitch_diameter, abs=6e-5)
    assert found["nut-minor-diameter"].value == pytest.approx(minor, abs=1e-4)
    assert found["stress-area"].value / INCH**2 == pytest.approx(area, rel=4e-3)


@pytest.mark.parametrize("name", COARSE)
def test_the_coarse_series_is_as_tabled(name: str) -> None:
    area, drill = COARSE[name]
    found = compute("unified-thread", {"thread": name}).values
    assert found["stress-area"].value / INCH**2 == pytest.approx(area, rel=4e-3)
    assert found["drill"].value == drill
    assert 60 < found["thread-share"].value < 85
