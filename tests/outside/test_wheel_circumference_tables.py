"""Published tables of wheel circumference by ISO 5775 tyre size (28-622 and 32-622 seen, 40-622 from memory).

Rim diameter plus twice the tyre width gives the diameter to within a percent.
"""

from __future__ import annotations

import pytest

from kickover.formulas import compute

# Tyre width and rim in mm, circumference in mm.
TABLE = [(28, 622, 2136), (32, 622, 2155), (40, 622, 2200)]


@pytest.mark.parametrize(("width", "rim", "circumference"), TABLE)
def test_road_speed_is_turns_times_the_tabled_circumference(width: int, rim: int, circumference: int) -> None:
    found = compute("road-speed", {"rpm": 4500, "reduction": 18, "wheel": rim + 2 * width})
    turns_a_minute = 4500 / 18
    assert found.value.value == pytest.approx(turns_a_minute * circumference * 60 / 1e6, rel=0.01)


def test_a_wheel_of_one_metre_round_at_1000_rpm_does_60_kilometres_an_hour() -> None:
    found = compute("road-speed", {"rpm": 1000, "reduction": 1, "wheel": 1000 / 3.141592653589793})
    assert found.value.value == pytest.approx(60)
    assert found.value.within("mph") == pytest.approx(37.28, abs=0.01)
