"""Slips of compression and vibration that a mechanic would mend, each held so that it does not come back.

Trade rules here are common practice, no source.
"""

from __future__ import annotations

import math

import pytest

from faults.reach import shipped
from kickover.core.ids import CheckId, EventId, RepairId, SetupId
from kickover.formulas import compute

LIBRARY = shipped()
OWN = [machine for machine in LIBRARY.machines.values() if not machine.id.startswith("unknown-")]


def text_of_everything() -> str:
    steps = [one.how for one in LIBRARY.checks.values()]
    steps += [one.how for one in LIBRARY.repairs.values()]
    steps += [one.how for one in LIBRARY.setups.values()]
    cautions = " ".join(hazard.caution for hazard in LIBRARY.hazards.values())
    return cautions + " ".join(" ".join(how) for how in steps)


@pytest.mark.parametrize("cause", ["piston-scored", "piston-seized", "piston-holed", "ring-broken"])
def test_nobody_rides_with_a_piston_that_grips_or_has_a_hole(cause: str) -> None:
    assert not LIBRARY.causes[EventId(cause)].ride


def test_a_seized_engine_that_was_freed_is_pushed_home() -> None:
    said = " ".join(LIBRARY.repairs[RepairId("let-it-cool")].how)
    assert "do not ride" in said
    assert "ride home" not in said


def test_the_stop_switch_is_at_off_and_never_just_off() -> None:
    assert "stop switch off" not in text_of_everything()


def test_the_crankcase_is_pumped_where_the_inlet_is_open() -> None:
    said = " ".join(LIBRARY.setups[SetupId("crankcase-sealed")].how)
    assert "Piston at the top" in said
    assert "reeds" in said


def test_caustic_never_meets_aluminium() -> None:
    for repair in LIBRARY.repairs.values():
        said = " ".join(repair.how).lower()
        assert "caustic" not in said or "aluminium" in said, repair.id


def test_brake_cleaner_meets_cold_metal_only() -> None:
    for repair in LIBRARY.repairs.values():
        said = " ".join(repair.how).lower()
        assert "brake cleaner" not in said or "cold" in said, repair.id


def test_a_case_goes_into_the_oven_free_of_fuel() -> None:
    for repair in LIBRARY.repairs.values():
        said = " ".join(repair.how).lower()
        assert " oven" not in said or "free of fuel" in said, repair.id


def test_clutch_play_is_measured_where_its_limit_holds() -> None:
    check = LIBRARY.checks[CheckId("clutch-free-play")]
    assert "pivot" not in " ".join(check.how)
    for machine in OWN:
        if "clutch-free-play" in machine.figures:
            assert 8.0 <= machine.figures["clutch-free-play"].within("mm") <= 15.0  # type: ignore[index]


@pytest.mark.parametrize("machine", OWN, ids=lambda machine: machine.id)
def test_the_figures_of_a_machine_agree_with_each_other(machine: object) -> None:
    figures = {str(name): value for name, value in machine.figures.items()}  # type: ignore[attr-defined]
    swept = compute(
        "cylinder-displacement", {"bore": figures["bore"], "stroke": figures["stroke"]}
    ).value.value
    said = next(word for word in machine.about.split() if word.isdigit())  # type: ignore[attr-defined]
    assert swept == pytest.approx(float(said), abs=0.6)
    speed = compute(
        "road-speed",
        {
            "rpm": figures["cruise-speed"],
            "reduction": figures["reduction"],
            "wheel": figures["wheel-diameter"],
        },
    ).value.value
    assert 25.0 <= speed <= 55.0
    assert figures["rod-length"].value > figures["stroke"].value
    assert math.isfinite(speed)


@pytest.mark.parametrize("known", [(47.0, 38.0), (39.0, 41.4), (40.0, 39.0), (38.0, 43.0), (36.0, 32.0)])
def test_no_machine_has_the_bore_and_stroke_of_an_engine_that_exists(known: tuple[float, float]) -> None:
    for machine in OWN:
        figures = {
            str(name): value.within("mm")
            for name, value in machine.figures.items()
            if name in {"bore", "stroke"}
        }
        assert (figures["bore"], figures["stroke"]) != known
