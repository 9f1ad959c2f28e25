"""Piston travel and crank angle, for setting ignition timing with a dial gauge."""

from __future__ import annotations

import math

from kickover.formulas.formula import FigureRangeError, Formula, FormulaValue, Inputs, formula, number
from kickover.units import Quantity, show_number

_TEXTBOOK = "Heywood, Internal Combustion Engine Fundamentals"
_SLIDER_CRANK = "chapter 2, piston position of the slider-crank (from memory)"
_STROKE = number("stroke", "piston stroke", "mm", 10, 200, figure="stroke")
_ROD = number("rod", "connecting rod, centre to centre", "mm", 15, 400, figure="rod-length")
_TILT = number("tilt", "angle between the dial gauge and the cylinder axis", "°", 0, 45, default=0.0)
_NO_OFFSET = (
    "no piston pin offset; near top dead centre 0.1 mm is about one degree, so use a dial"
    " gauge and not a ruler"
)


def travel_at(angle_deg: float, stroke_mm: float, rod_mm: float) -> float:
    """Give the piston travel in mm below top dead centre at a crank angle before or after it."""
    radius, angle = stroke_mm / 2, math.radians(angle_deg)
    return radius * (1 - math.cos(angle)) + rod_mm - math.sqrt(rod_mm**2 - (radius * math.sin(angle)) ** 2)


def angle_at(travel_mm: float, stroke_mm: float, rod_mm: float) -> float:
    """Give the crank angle in degrees from top dead centre, 0 to 180, at a piston travel."""
    radius = stroke_mm / 2
    reach = radius + rod_mm - travel_mm
    cosine = (radius**2 + reach**2 - rod_mm**2) / (2 * radius * reach)
    return math.degrees(math.acos(max(-1.0, min(1.0, cosine))))


def _rod_and_stroke(inputs: Inputs, name: str) -> tuple[float, float]:
    stroke, rod = inputs["stroke"], inputs["rod"]
    if rod <= stroke / 2:
        raise FigureRangeError(
            f"{name}: rod is {show_number(rod)} mm; it must be longer than half the stroke,"
            f" {show_number(stroke / 2)} mm"
        )
    return stroke, rod


def _advance_to_travel(inputs: Inputs) -> FormulaValue:
    stroke, rod = _rod_and_stroke(inputs, "advance-to-travel")
    angle, tilt = inputs["angle"], inputs["tilt"]
    travel = travel_at(angle, stroke, rod)
    dial = travel / math.cos(math.radians(tilt))
    radius = show_number(stroke / 2)
    return FormulaValue(
        {"travel": Quantity(dial, "mm"), "piston-travel": Quantity(travel, "mm")},
        (
            f"piston travel: {radius} × (1 − cos {show_number(angle)}°) + {show_number(rod)}"
            f" − √({show_number(rod)}² − ({radius} × sin {show_number(angle)}°)²) = {travel:.3f} mm",
            f"on a dial tilted {show_number(tilt)}°: {travel:.3f} / cos {show_number(tilt)}° = {dial:.3f} mm",
        ),
    )


def _travel_to_advance(inputs: Inputs) -> FormulaValue:
    stroke, rod = _rod_and_stroke(inputs, "travel-to-advance")
    dial, tilt = inputs["travel"], inputs["tilt"]
    travel = dial * math.cos(math.radians(tilt))
    if travel > stroke:
        raise FigureRangeError(
            f"travel-to-advance: travel is {show_number(dial)} mm; it holds for values up to the stroke,"
            f" {show_number(stroke)} mm"
        )
    angle = angle_at(travel, stroke, rod)
    radius = stroke / 2
    reach = radius + rod - travel
    return FormulaValue(
        {"angle": Quantity(angle, "°"), "piston-travel": Quantity(travel, "mm")},
        (
            f"piston travel: {show_number(dial)} mm × cos {show_number(tilt)}° = {travel:.3f} mm",
            f"crank angle: arccos(({show_number(radius)}² + {reach:.3f}² − {show_number(rod)}²)"
            f" / (2 × {show_number(radius)} × {reach:.3f})) = {angle:.2f}°",
        ),
    )


FORMULAS: tuple[Formula, ...] = (
    formula(
        "advance-to-travel",
        "Piston travel before top dead centre for a timing angle",
        (
            _STROKE,
            _ROD,
            number("angle", "crank angle from top dead centre", "°", 0, 180, figure="advance"),
            _TILT,
        ),
        "mm",
        _advance_to_travel,
        source=_TEXTBOOK,
        section=_SLIDER_CRANK,
        validity=_NO_OFFSET,
    ),
    formula(
        "travel-to-advance",
        "Timing angle for a piston travel before top dead centre",
        (_STROKE, _ROD, number("travel", "travel shown by the dial gauge", "mm", 0, 200), _TILT),
        "°",
        _travel_to_advance,
        source=_TEXTBOOK,
        section=_SLIDER_CRANK,
        validity=_NO_OFFSET,
    ),
)
