"""ISO 261 and ISO 262 (sizes and pitches) and ISO 724 (basic diameters) of metric threads.

Pitch and minor diameters were seen in a tap makers' table of basic sizes; the pitches of coarse threads are
confirmed by the same table and the ISO 898-1 tables.
"""

from __future__ import annotations

import pytest

from kickover.formulas import compute
from kickover.formulas.threads import THREADS

# Thread, pitch, basic pitch diameter, basic minor diameter of the internal thread, all in mm.
BASIC_SIZES = {
    "M5": (0.8, 4.480, 4.134),
    "M6": (1.0, 5.350, 4.917),
    "M6x0.75": (0.75, 5.513, 5.188),
    "M7": (1.0, 6.350, 5.917),
    "M8": (1.25, 7.188, 6.647),
    "M8x1": (1.0, 7.350, 6.917),
    "M10": (1.5, 9.026, 8.376),
    "M10x1.25": (1.25, 9.188, 8.647),
    "M10x1": (1.0, 9.350, 8.917),
}
# Coarse pitches in mm.
COARSE = {"M2": 0.4, "M2.5": 0.45, "M3": 0.5, "M3.5": 0.6, "M4": 0.7, "M12": 1.75, "M14": 2.0, "M16": 2.0}


@pytest.mark.parametrize("name", BASIC_SIZES)
def test_basic_diameters_are_as_tabled(name: str) -> None:
    pitch, pitch_diameter, minor = BASIC_SIZES[name]
    assert THREADS[name].pitch == pitch
    assert THREADS[name].pitch_diameter == pytest.approx(pitch_diameter, abs=6e-4)
    found = compute("tap-drill", {"thread": name}).values["nut-minor-diameter"]
    assert found.value == pytest.approx(minor, abs=6e-4)


@pytest.mark.parametrize(("name", "pitch"), COARSE.items())
def test_coarse_pitches_are_those_of_the_standard(name: str, pitch: float) -> None:
    assert THREADS[name].pitch == pitch


def test_spark_plug_threads_of_iso_1919_and_iso_2705_are_there() -> None:
    # M14 x 1.25 and M12 x 1.25; the second title was seen, the first is from memory.
    assert {"M14x1.25", "M12x1.25"} <= THREADS.keys()
