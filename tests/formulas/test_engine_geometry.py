"""Piston speed, port timing, ring gap and squish."""

from __future__ import annotations

import pytest

from kickover.formulas import FigureRangeError, compute


def test_mean_piston_speed_is_two_strokes_a_turn() -> None:
    assert compute("piston-speed", {"stroke": "40 mm", "rpm": 6000}).value.value == pytest.approx(8.0)


def test_a_port_opens_where_the_piston_travels_to_it() -> None:
    # reference/trade facts: stroke 40, rod 80: travel 2.00 mm at 23.16 degrees
    assert compute("port-timing", {"edge": 2.0, "stroke": 40, "rod": 80}).values[
        "opens"
    ].value == pytest.approx(23.16, abs=0.01)
    assert compute("port-timing", {"edge": 2.0, "stroke": 40, "rod": 80}).value.value == pytest.approx(
        313.68, abs=0.02
    )
    with pytest.raises(FigureRangeError, match="within the stroke"):
        compute("port-timing", {"edge": 41, "stroke": 40, "rod": 80})


def test_a_ring_gap_is_a_share_of_the_bore() -> None:
    assert compute("ring-end-gap", {"bore": 40}).value.value == pytest.approx(0.16)


def test_squish_is_the_solder_and_what_the_gasket_changes() -> None:
    assert compute("squish", {"solder": 0.9, "gasket": 0.3}).value.value == pytest.approx(1.2)
