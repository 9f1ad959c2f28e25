"""Heywood, Internal Combustion Engine Fundamentals, chapter 2: geometry of the reciprocating engine.

Cylinder volume: V/Vc = 1 + ½ (rc − 1) [R + 1 − cos θ − √(R² − sin² θ)], with R the
rod over the crank radius (from memory). The inverse is found by scipy's root finder.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from kickover.formulas import compute
from kickover.formulas.cylinder import swept_volume
from kickover.formulas.timing import travel_at


def volume_over_clearance(theta: float, ratio: float, rod_over_radius: float) -> float:
    bracket = rod_over_radius + 1 - math.cos(theta) - math.sqrt(rod_over_radius**2 - math.sin(theta) ** 2)
    return 1 + 0.5 * (ratio - 1) * bracket


@given(st.floats(0, 180), st.floats(20, 100), st.floats(1.1, 3), st.floats(4, 12))
def test_travel_fills_the_volume_of_the_textbook(
    angle: float, stroke: float, rods: float, ratio: float
) -> None:
    travel = travel_at(angle, stroke, stroke * rods)
    clearance = swept_volume(40, stroke) / (ratio - 1)
    ours = (swept_volume(40, travel) + clearance) / clearance
    assert ours == pytest.approx(volume_over_clearance(math.radians(angle), ratio, 2 * rods), rel=1e-9)


@pytest.mark.parametrize("travel", [0.5, 1.0, 1.5, 2.0, 2.5, 4.0])
def test_the_angle_is_the_root_of_the_travel(travel: float) -> None:
    def excess(degrees: float) -> float:
        bracket = volume_over_clearance(math.radians(degrees), 3, 4) - 1
        return 40 / 2 * bracket - travel

    theirs = brentq(excess, 0.1, 179, xtol=1e-12)
    found = compute("travel-to-advance", {"stroke": 40, "rod": 80, "travel": travel})
    assert found.value.value == pytest.approx(theirs, abs=1e-8)


# Stroke 40 and rod 80: worked outside this program.
@pytest.mark.parametrize(
    ("angle", "travel"), [(10, 0.379), (15, 0.849), (20, 1.499), (25, 2.322), (30, 3.307)]
)
def test_travel_of_a_small_engine(angle: int, travel: float) -> None:
    found = compute("advance-to-travel", {"stroke": 40, "rod": 80, "angle": angle})
    assert found.value.value == pytest.approx(travel, abs=6e-4)


def test_displacement_and_ratio_of_a_square_forty() -> None:
    size = compute("cylinder-displacement", {"bore": 40, "stroke": 40})
    assert size.value.value == pytest.approx(math.pi * 16, rel=1e-12)
    ratio = compute("compression-ratio", {"bore": 40, "stroke": 40, "clearance": 8})
    assert ratio.value.value == pytest.approx(1 + 2 * math.pi, rel=1e-12)


def test_the_trapped_ratio_counts_from_the_closed_port() -> None:
    base = {"bore": 40.0, "stroke": 40.0, "clearance": 8.0}
    by_height = compute("trapped-ratio", base | {"port-height": 14})
    by_share = compute("trapped-ratio", base | {"trapped-share": 0.65})
    assert by_height.value == by_share.value
    assert by_height.value.value == pytest.approx(1 + 2 * math.pi * 0.65)
