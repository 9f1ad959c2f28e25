"""Piston travel and crank angle, for setting ignition timing with a dial gauge."""

from __future__ import annotations

import math
from functools import partial
from typing import Annotated

from kickover.formulas.formula import HEYWOOD, FigureRangeError, FormulaValue, formula, number, worked
from kickover.units import show_number

Stroke = Annotated[float, number("piston stroke", "mm", 10, 200, figure="stroke")]
Rod = Annotated[float, number("connecting rod, centre to centre", "mm", 15, 400, figure="rod-length")]
Tilt = Annotated[float, number("angle between the dial gauge and the cylinder axis", "°", 0, 45)]


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


def refuse_short_rod(name: str, stroke: float, rod: float) -> None:
    """Raise FigureRangeError in the formula `name` for a rod that could not turn."""
    if rod <= stroke / 2:
        raise FigureRangeError(
            f"{name}: rod is {show_number(rod)} mm; it must be longer than half the stroke,"
            f" {show_number(stroke / 2)} mm"
        )


_slider_crank = partial(
    formula,
    source=HEYWOOD,
    section="chapter 2, piston position of the slider-crank (from memory)",
    validity="no piston pin offset; near top dead centre 0.1 mm is about one degree, so use a dial"
    " gauge and not a ruler",
)


@_slider_crank("Piston travel before top dead centre for a timing angle", "mm")
def _advance_to_travel(
    stroke: Stroke,
    rod: Rod,
    angle: Annotated[float, number("crank angle from top dead centre", "°", 0, 180, figure="advance")],
    tilt: Tilt = 0.0,
) -> FormulaValue:
    refuse_short_rod("advance-to-travel", stroke, rod)
    travel = travel_at(angle, stroke, rod)
    dial = travel / math.cos(math.radians(tilt))
    radius, long, turned = show_number(stroke / 2), show_number(rod), show_number(angle)
    return worked(
        {"travel": (dial, "mm"), "piston-travel": (travel, "mm")},
        f"piston travel: {radius} × (1 − cos {turned}°) + {long}"
        f" − √({long}² − ({radius} × sin {turned}°)²) = {travel:.3f} mm",
        f"on a dial tilted {show_number(tilt)}°: {travel:.3f} / cos {show_number(tilt)}° = {dial:.3f} mm",
    )


@_slider_crank("Timing angle for a piston travel before top dead centre", "°")
def _travel_to_advance(
    stroke: Stroke,
    rod: Rod,
    travel: Annotated[float, number("travel shown by the dial gauge", "mm", 0, 200)],
    tilt: Tilt = 0.0,
) -> FormulaValue:
    refuse_short_rod("travel-to-advance", stroke, rod)
    dial = show_number(travel)
    travel *= math.cos(math.radians(tilt))
    if travel > stroke:
        raise FigureRangeError(
            f"travel-to-advance: travel is {dial} mm; it holds for values up to the stroke,"
            f" {show_number(stroke)} mm"
        )
    angle = angle_at(travel, stroke, rod)
    radius, reach = show_number(stroke / 2), stroke / 2 + rod - travel
    return worked(
        {"angle": (angle, "°"), "piston-travel": (travel, "mm")},
        f"piston travel: {dial} mm × cos {show_number(tilt)}° = {travel:.3f} mm",
        f"crank angle: arccos(({radius}² + {reach:.3f}² − {show_number(rod)}²)"
        f" / (2 × {radius} × {reach:.3f})) = {angle:.2f}°",
    )
