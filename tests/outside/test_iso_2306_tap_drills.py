"""ISO 2306, drills for use prior to tapping screw threads.

The drills for M4, M5, M6, M8 and M10 were seen in a workshop answer; the others are from memory.
"""

from __future__ import annotations

import pytest

from kickover.formulas import compute

SEEN = {"M4": 3.3, "M5": 4.2, "M6": 5.0, "M8": 6.8, "M10": 8.5}
FROM_MEMORY = {
    "M2": 1.6,
    "M2.5": 2.05,
    "M3": 2.5,
    "M7": 6.0,
    "M8x1": 7.0,
    "M10x1": 9.0,
    "M10x1.25": 8.8,
    "M12": 10.2,
    "M12x1.25": 10.8,
    "M12x1.5": 10.5,
    "M14": 12.0,
    "M14x1.5": 12.5,
    "M16": 14.0,
}


@pytest.mark.parametrize(("thread", "drill"), (SEEN | FROM_MEMORY).items())
def test_the_drill_is_the_one_listed(thread: str, drill: float) -> None:
    assert compute("tap-drill", {"thread": thread}).value.value == drill


@pytest.mark.parametrize(("thread", "drill"), (SEEN | FROM_MEMORY).items())
def test_every_listed_drill_is_the_diameter_less_the_pitch_to_a_twentieth(thread: str, drill: float) -> None:
    assert compute("tap-drill", {"thread": thread}).values["exact"].value == pytest.approx(drill, abs=0.0501)


def test_the_drill_opens_the_hole_past_the_basic_minor_diameter() -> None:
    for thread in SEEN | FROM_MEMORY:
        values = compute("tap-drill", {"thread": thread}).values
        assert values["drill"] > values["nut-minor-diameter"], thread
