"""Directive 2002/44/EC on vibration: Article 3(1) values (seen), and the points of its guidance.

The guide and the regulator's table of exposure points (100 points at the action value, 400 at the limit
value) are from memory: points = 2 a² T, with a in m/s² and T in hours.
"""

from __future__ import annotations

import math

import pytest

from kickover.core.ids import ServiceId
from kickover.formulas import compute
from kickover.formulas.vibration import ACTION_VALUE, LIMIT_VALUE
from kickover.units import Quantity
from worlds.shipped_library import shipped


def test_the_action_and_limit_values_are_those_of_article_3() -> None:
    assert (ACTION_VALUE, LIMIT_VALUE) == (2.5, 5.0)


# Acceleration in m/s², hours to the action value, hours to the limit value.
@pytest.mark.parametrize(
    ("level", "action", "limit"), [(2.5, 8, 32), (5, 2, 8), (10, 0.5, 2), (7, 1.0204, 4.0816)]
)
def test_times_to_the_two_values(level: float, action: float, limit: float) -> None:
    found = compute("hand-arm-exposure", {"acceleration": level, "time": Quantity(1, "h")}).values
    assert found["time-to-action"].within("h") == pytest.approx(action, rel=1e-4)
    assert found["time-to-limit"].within("h") == pytest.approx(limit, rel=1e-4)


# Acceleration, hours, points in the regulator's table (from memory).
@pytest.mark.parametrize(
    ("level", "hours", "points"),
    [(5, 1, 50), (5, 2, 100), (10, 0.5, 100), (10, 2, 400), (4, 4, 130), (3, 8, 145)],
)
def test_exposure_points_of_the_ready_table(level: float, hours: float, points: float) -> None:
    found = compute("hand-arm-exposure", {"acceleration": level, "time": Quantity(hours, "h")})
    assert 100 * (found.value.value / 2.5) ** 2 == pytest.approx(points, abs=3)


def test_eight_hours_at_a_level_is_that_level() -> None:
    found = compute("hand-arm-exposure", {"acceleration": 3.3, "time": Quantity(8, "h")})
    assert found.value.value == pytest.approx(3.3)
    assert math.isclose(found.value.within("m/s²"), 3.3)


def test_the_service_job_for_the_hands_names_the_times_that_the_values_give() -> None:
    said = " ".join(shipped().services[ServiceId("hands-spared")].how)
    at_5 = compute("hand-arm-exposure", {"acceleration": 5, "time": Quantity(1, "h")}).values

    assert at_5["time-to-action"].within("h") == pytest.approx(2)
    assert at_5["time-to-limit"].within("h") == pytest.approx(8)
    assert "At 5 m/s² that is 2 h and 8 h of riding" in said
    assert f"act at {ACTION_VALUE:g} m/s², never over {LIMIT_VALUE:g} m/s²" in said
