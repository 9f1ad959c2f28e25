"""Rules that every workshop knows: common practice, no source."""

from __future__ import annotations

import pytest

from kickover.formulas import compute
from kickover.units import Quantity, parse, show


def test_the_drill_for_m10_by_125_is_8_7_to_8_8() -> None:
    drill = compute("tap-drill", {"thread": "M10x1.25"}).value
    assert parse("8.7 mm") <= drill <= parse("8.8 mm")


def test_fuel_hose_of_5_millimetres_is_sold_as_three_sixteenths() -> None:
    assert parse("3/16 in").within("mm") == pytest.approx(5, abs=0.3)


@pytest.mark.parametrize(("thou", "mm"), [(12, 0.30), (14, 0.35), (16, 0.40), (25, 0.635), (28, 0.7)])
def test_feeler_gauges_have_their_known_twins(thou: int, mm: float) -> None:
    assert Quantity(thou, "thou").within("mm") == pytest.approx(mm, abs=0.012)


def test_seventy_psi_is_about_five_bar() -> None:
    assert parse("70 psi").within("bar") == pytest.approx(5, abs=0.2)


def test_bolts_into_aluminium_get_60_to_70_percent_of_the_torque() -> None:
    steel = compute("bolt-torque", {"thread": "M6"}).value.value
    light = compute("bolt-torque", {"thread": "M6", "part": "aluminium"}).value.value
    assert 0.60 <= light / steel <= 0.70


def test_a_crankcase_that_falls_from_half_a_bar_to_470_millibar_in_a_minute_leaks_30() -> None:
    found = compute("crankcase-leak-rate", {"start": 0.5, "end": "470 mbar", "time": "60 s"})
    assert found.value.within("mbar/min") == pytest.approx(30)
    assert show(found.values["kept"]) == "94 %"
