"""What must hold of the formulas whatever the numbers: inverses, directions, and limits."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from kickover.formulas import compute
from kickover.formulas.air import density, standard_pressure, standard_temperature
from kickover.formulas.compression import cranking_pressure, ratio_with_hose
from kickover.formulas.electrics import paschen_voltage
from kickover.formulas.fuel import jet_for_percent, jet_for_ratio, oil_for, oil_to_add, percent_rich
from kickover.formulas.road import engine_speed, road_speed
from kickover.formulas.threads import THREADS, Thread, drill_for_share, thread_share
from kickover.formulas.timing import angle_at, travel_at
from kickover.formulas.vibration import by_added_mass
from reference.paschen import paschen_minimum

STROKES = st.floats(20, 120)
ROD_RATIOS = st.floats(0.9, 3)


@given(st.floats(0.5, 179), STROKES, ROD_RATIOS)
def test_timing_angle_and_travel_are_inverses(angle: float, stroke: float, rods: float) -> None:
    rod = stroke * rods
    assert angle_at(travel_at(angle, stroke, rod), stroke, rod) == pytest.approx(angle, abs=1e-6)


@given(STROKES, ROD_RATIOS)
def test_the_piston_travels_its_stroke_in_half_a_turn(stroke: float, rods: float) -> None:
    assert travel_at(0, stroke, stroke * rods) == 0
    assert travel_at(180, stroke, stroke * rods) == pytest.approx(stroke)


@given(st.floats(500, 12000), st.floats(2, 50), st.floats(200, 800))
def test_road_speed_and_engine_speed_are_inverses(rpm: float, reduction: float, wheel: float) -> None:
    assert engine_speed(road_speed(rpm, reduction, wheel), reduction, wheel) == pytest.approx(rpm)


@given(st.floats(0.1, 1e5), st.floats(-40, 200), st.floats(-40, 200))
def test_a_winding_taken_to_another_temperature_and_back_is_unchanged(
    ohms: float, here: float, there: float
) -> None:
    warm = compute(
        "winding-resistance", {"resistance": ohms, "temperature": here, "to-temperature": there}
    ).value
    assume(0.001 <= warm.value <= 1e6)
    back = compute(
        "winding-resistance", {"resistance": warm, "temperature": there, "to-temperature": here}
    ).value
    assert back.value == pytest.approx(ohms)


@given(st.floats(0, 10900), st.floats(1, 100))
def test_pressure_and_density_fall_with_height(altitude: float, climb: float) -> None:
    assert standard_pressure(altitude + climb) < standard_pressure(altitude)
    low = density(standard_pressure(altitude), standard_temperature(altitude))
    assert density(standard_pressure(altitude + climb), standard_temperature(altitude + climb)) < low


@given(st.floats(3, 15), st.floats(1.1, 1.39), st.floats(0.5, 1.05))
def test_more_ratio_more_exponent_and_more_air_all_raise_the_gauge(
    ratio: float, n: float, ambient: float
) -> None:
    base = cranking_pressure(ratio, n, ambient)
    assert cranking_pressure(ratio + 0.5, n, ambient) > base
    assert cranking_pressure(ratio, n + 0.01, ambient) > base
    assert cranking_pressure(ratio, n, ambient * 1.05) == pytest.approx(base * 1.05)


@given(st.floats(4, 14), st.floats(30, 200), st.floats(0.1, 20))
def test_a_gauge_hose_only_ever_lowers_the_ratio(ratio: float, displacement: float, hose: float) -> None:
    assert 1 < ratio_with_hose(ratio, 1, displacement, hose) < ratio
    assert ratio_with_hose(ratio, 1, displacement, 0) == pytest.approx(ratio)


@given(st.floats(0.3, 3), st.floats(0.4, 1.3))
def test_the_new_jet_cancels_the_shift_of_mixture(jet: float, sigma: float) -> None:
    area_change = (jet_for_ratio(jet, sigma) / jet) ** 2
    assert area_change * (1 + percent_rich(sigma) / 100) == pytest.approx(1)


@given(st.floats(0.3, 3), st.floats(-39, 59))
def test_a_jet_for_percent_changes_the_area_by_that_percent(jet: float, percent: float) -> None:
    assert (jet_for_percent(jet, percent) / jet) ** 2 == pytest.approx(1 + percent / 100)


@given(st.floats(0, 20000), st.floats(10, 100), st.floats(0, 20000), st.floats(10, 100))
def test_a_topped_up_tank_holds_oil_at_the_wanted_ratio(
    held: float, held_ratio: float, added: float, ratio: float
) -> None:
    oil = oil_to_add(held, held_ratio, added, ratio)
    held_oil = held / (held_ratio + 1)
    petrol = held - held_oil + added
    assume(petrol > 1)
    assert (oil + held_oil) == pytest.approx(oil_for(petrol, ratio))


@given(st.floats(0.1, 20), st.floats(10, 100))
def test_topping_up_an_empty_tank_is_mixing_afresh(litres: float, ratio: float) -> None:
    arguments = {"ratio": ratio, "held": 0.0, "held-ratio": 25.0, "added": litres}
    fresh = compute("premix", {"ratio": ratio, "fuel": litres}).value
    assert compute("premix-top-up", arguments).value.value == pytest.approx(fresh.value)


def test_a_tank_that_is_too_oily_asks_for_petrol_and_never_for_less_than_no_oil() -> None:
    result = compute("premix-top-up", {"ratio": 50, "held": 5, "held-ratio": 20, "added": 1})
    assert result.value.value == 0
    assert 20 < result.values["mixed-ratio"].value < 50
    assert any("more petrol" in note for note in result.notes)


@given(st.sampled_from(list(THREADS.values())), st.floats(45, 95))
def test_drill_and_thread_percentage_are_inverses(thread: Thread, percent: float) -> None:
    assert thread_share(thread, drill_for_share(thread, percent)) == pytest.approx(percent)


@given(st.floats(0.01, 5), st.floats(0.05, 5), st.floats(100, 1e6))
def test_added_mass_gives_back_the_oscillator_it_was_made_from(
    mass: float, added: float, stiffness: float
) -> None:
    before = (stiffness / mass) ** 0.5 / 6.283185307179586
    after = (stiffness / (mass + added)) ** 0.5 / 6.283185307179586
    assert by_added_mass(added, before, after) == pytest.approx((mass, stiffness), rel=1e-6)


@given(st.floats(0.001, 0.2), st.floats(1.5, 50))
def test_no_gap_breaks_down_below_the_lowest_voltage_of_the_curve(emission: float, beyond: float) -> None:
    lowest, product = paschen_minimum(emission)
    at_minimum = paschen_voltage(product / 100, 100, emission)
    further = paschen_voltage(product * beyond / 100, 100, emission)
    assert at_minimum == pytest.approx(lowest)
    assert further is not None
    assert further > lowest


@given(st.floats(1, 60), st.floats(1, 1000))
def test_vibration_time_limits_reach_exactly_their_values(acceleration: float, minutes: float) -> None:
    result = compute("hand-arm-exposure", {"acceleration": acceleration, "time": minutes})
    action = result.values["time-to-action"]
    assume(0.1 <= action.within("min") <= 1440)
    again = compute("hand-arm-exposure", {"acceleration": acceleration, "time": action})
    assert again.value.value == pytest.approx(2.5)


def test_torque_and_share_of_proof_load_agree() -> None:
    for thread in ("M6", "M8", "M10x1.25"):
        torque = compute("bolt-torque", {"thread": thread, "share": 60}).value
        share = compute("proof-load-share", {"thread": thread, "torque": torque}).value
        assert share.value == pytest.approx(60)


def test_a_bolt_beyond_its_proof_load_is_warned_of() -> None:
    notes = compute("proof-load-share", {"thread": "M6", "torque": 20}).notes
    assert any("above the proof load" in note for note in notes)


def test_next_jets_enclose_the_exact_bore() -> None:
    result = compute("jet-for-percent", {"jet": 0.7, "percent": 5})
    exact = result.values["diameter"]
    assert result.values["next-smaller"] <= exact <= result.values["next-larger"]
    same = compute("jet-for-percent", {"jet": 0.7, "percent": 0})
    assert same.values["next-smaller"] == same.values["next-larger"] == same.value
