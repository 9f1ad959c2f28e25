"""Road speed and engine speed through the gearing and the wheel."""

from __future__ import annotations

import math

from kickover.formulas.formula import Formula, FormulaValue, Inputs, formula, number
from kickover.units import Quantity, show_number

_REDUCTION = number("reduction", "turns of the crank for one turn of the wheel", ":1", 0.5, 100)
_WHEEL = number("wheel", "rolling diameter of the wheel, tyre and load included", "mm", 100, 1000)


def road_speed(rpm: float, reduction: float, wheel_mm: float) -> float:
    """Give the road speed in km/h."""
    return rpm / reduction * math.pi * wheel_mm * 60 / 1e6


def engine_speed(kmh: float, reduction: float, wheel_mm: float) -> float:
    """Give the engine speed in rpm."""
    return kmh * 1e6 / (60 * math.pi * wheel_mm) * reduction


def _road_speed(inputs: Inputs) -> FormulaValue:
    rpm, reduction, wheel = inputs["rpm"], inputs["reduction"], inputs["wheel"]
    speed = road_speed(rpm, reduction, wheel)
    turns = rpm / reduction
    return FormulaValue(
        {
            "speed": Quantity(speed, "km/h"),
            "wheel-speed": Quantity(turns, "rpm"),
            "wheel-frequency": Quantity(turns / 60, "Hz"),
        },
        (
            f"wheel: {show_number(rpm)} rpm / {show_number(reduction)} = {show_number(turns)} rpm",
            f"speed: {show_number(turns)} rpm × π × {show_number(wheel)} mm = {show_number(speed)} km/h",
        ),
    )


def _engine_speed(inputs: Inputs) -> FormulaValue:
    speed, reduction, wheel = inputs["speed"], inputs["reduction"], inputs["wheel"]
    rpm = engine_speed(speed, reduction, wheel)
    turns = rpm / reduction
    return FormulaValue(
        {"rpm": Quantity(rpm, "rpm"), "wheel-speed": Quantity(turns, "rpm")},
        (
            f"wheel: {show_number(speed)} km/h / (π × {show_number(wheel)} mm) = {show_number(turns)} rpm",
            f"engine: {show_number(turns)} rpm × {show_number(reduction)} = {show_number(rpm)} rpm",
        ),
    )


_SOURCE = "geometry of a rolling wheel"
_SECTION = "speed = turns × circumference, by definition"
_VALIDITY = "no slip of clutch, belt, friction roller or tyre"

FORMULAS: tuple[Formula, ...] = (
    formula(
        "road-speed",
        "Road speed at an engine speed",
        (number("rpm", "crankshaft speed", "rpm", 10, 20000), _REDUCTION, _WHEEL),
        "km/h",
        _road_speed,
        source=_SOURCE,
        section=_SECTION,
        validity=_VALIDITY,
    ),
    formula(
        "rpm-for-speed",
        "Engine speed at a road speed",
        (number("speed", "road speed", "km/h", 1, 150), _REDUCTION, _WHEEL),
        "rpm",
        _engine_speed,
        source=_SOURCE,
        section=_SECTION,
        validity=_VALIDITY,
    ),
)
