"""Worked examples of T = K d F from engineering reference pages (both seen), and the general bolt table.

The short form is that of Shigley, Mechanical Engineering Design (from memory).
"""

from __future__ import annotations

import pytest

from kickover.formulas import compute


def test_m10_at_50_newton_metres_dry_clamps_with_25_kilonewtons() -> None:
    found = compute("proof-load-share", {"thread": "M10", "torque": 50, "nut-factor": 0.2})
    assert found.values["preload"].value == pytest.approx(25_000)
    # The example takes 600 MPa of proof stress; ISO 898-1 gives 580 MPa up to M16.
    assert found.value.value * 580 / 600 == pytest.approx(71.8, abs=0.1)


def test_m12_at_70_percent_of_proof_takes_82_newton_metres() -> None:
    found = compute("bolt-torque", {"thread": "M12", "class": "8.8", "share": 70})
    assert found.value.value == pytest.approx(82, abs=0.5)
    assert found.values["preload"].within("kN") == pytest.approx(34, abs=0.5)


# Thread, class, N·m at K 0.20 and at K 0.15, worked outside this program from the proof loads of ISO 898-1.
@pytest.mark.parametrize(
    ("thread", "grade", "dry", "oiled"),
    [
        ("M5", "8.8", 6.2, 4.6),
        ("M6", "8.8", 10.4, 7.8),
        ("M6", "10.9", 15.0, 11.3),
        ("M8", "8.8", 25.4, 19.1),
        ("M8", "10.9", 36.5, 27.4),
        ("M10", "8.8", 50.6, 37.9),
    ],
)
def test_torques_at_three_quarters_of_proof(thread: str, grade: str, dry: float, oiled: float) -> None:
    for factor, torque in ((0.20, dry), (0.15, oiled)):
        found = compute("bolt-torque", {"thread": thread, "class": grade, "nut-factor": factor})
        assert found.value.value == pytest.approx(torque, rel=0.01)


def test_a_side_load_of_822_newtons_needs_5480_newtons_of_clamp() -> None:
    found = compute("clamp-for-side-load", {"force": 822, "friction": 0.15, "bolts": 4})
    assert found.value.value == pytest.approx(5480)
    assert found.values["each-bolt"].value == pytest.approx(1370)
