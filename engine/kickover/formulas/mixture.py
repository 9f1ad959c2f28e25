"""Jets and air: how rich a carburettor runs when the air thins, and the jet that puts it right.

Through a carburettor the air flow goes with √(density), the fuel flow with the jet's area, so the jet's
area must follow the square root of the density ratio and its diameter the fourth root.
"""

from __future__ import annotations

import math

from kickover.formulas.air import COMPARED, density_ratio
from kickover.formulas.formula import Formula, FormulaValue, Inputs, formula, number
from kickover.units import Quantity, show_number

_TEXTBOOK = "Heywood, Internal Combustion Engine Fundamentals"
_CARBURETTOR = "chapter 7, carburettor under changes of altitude (from memory)"
_METERED = "the metered main jet; slides, needles and idle circuits follow only roughly"

JET = number("jet", "bore of the jet that is right now", "mm", 0.2, 4, figure="main-jet")
STEP = number("step", "step between the jets or drills at hand", "mm", 0.005, 0.2, default=0.02)
_BEFORE_RIDING_DOWN = "fit the larger jet again before riding down: a jet sized for height runs lean below"


def jet_for_ratio(jet_mm: float, density_ratio: float) -> float:
    """Give the jet bore in mm that keeps the mixture at another air density: fourth root of the ratio."""
    return float(jet_mm * density_ratio**0.25)


def jet_for_percent(jet_mm: float, percent: float) -> float:
    """Give the jet bore in mm that passes `percent` more fuel: square root of the area."""
    return jet_mm * math.sqrt(1 + percent / 100)


def percent_rich(density_ratio: float) -> float:
    """Give how many percent richer the mixture gets, jet unchanged, when the density falls to this ratio."""
    return float((density_ratio**-0.5 - 1) * 100)


def _bracketed(diameter: float, step: float) -> dict[str, Quantity]:
    steps = diameter / step
    smaller = math.floor(steps + 1e-9) * step
    larger = math.ceil(steps - 1e-9) * step
    return {
        "diameter": Quantity(diameter, "mm"),
        "next-smaller": Quantity(round(smaller, 6), "mm"),
        "next-larger": Quantity(round(larger, 6), "mm"),
    }


def _sizes_line(values: dict[str, Quantity]) -> str:
    small, large = values["next-smaller"].value, values["next-larger"].value
    return f"sizes at hand around it: {show_number(small, 4)} mm and {show_number(large, 4)} mm"


def _jet_for_density(inputs: Inputs) -> FormulaValue:
    sigma, lines = density_ratio(inputs)
    jet = inputs["jet"]
    diameter = jet_for_ratio(jet, sigma)
    values = _bracketed(diameter, inputs["step"])
    values["area-ratio"] = Quantity(math.sqrt(sigma), "")
    return FormulaValue(
        values,
        (
            *lines,
            f"jet area goes with √{sigma:.4f} = {math.sqrt(sigma):.4f}",
            f"jet bore: {show_number(jet, 4)} mm × {sigma:.4f}^(1/4) = {diameter:.3f} mm",
            _sizes_line(values),
        ),
        (
            _BEFORE_RIDING_DOWN,
            "when between two sizes, start with the larger: too lean can seize a two-stroke",
        ),
    )


def _jet_for_percent(inputs: Inputs) -> FormulaValue:
    jet, percent = inputs["jet"], inputs["percent"]
    diameter = jet_for_percent(jet, percent)
    values = _bracketed(diameter, inputs["step"])
    return FormulaValue(
        values,
        (
            f"jet bore: {show_number(jet, 4)} mm × √(1 + {show_number(percent)} / 100) = {diameter:.3f} mm",
            _sizes_line(values),
        ),
    )


def _mixture_shift(inputs: Inputs) -> FormulaValue:
    sigma, lines = density_ratio(inputs)
    shift = percent_rich(sigma)
    word = "richer" if shift >= 0 else "leaner"
    return FormulaValue(
        {"shift": Quantity(shift, "%")},
        (*lines, f"shift: (1 / √{sigma:.4f} − 1) × 100 = {shift:.1f} %, {word} than at the reference place"),
    )


FORMULAS: tuple[Formula, ...] = (
    formula(
        "jet-for-density",
        "Main jet for another altitude or temperature",
        (JET, *COMPARED, STEP),
        "mm",
        _jet_for_density,
        source=_TEXTBOOK,
        section=_CARBURETTOR,
        validity=_METERED,
    ),
    formula(
        "jet-for-percent",
        "Main jet for a mixture some percent richer or leaner",
        (JET, number("percent", "change of fuel flow: above zero richer, below leaner", "%", -40, 60), STEP),
        "mm",
        _jet_for_percent,
        source=_TEXTBOOK,
        section="chapter 7, flow through the fuel orifice (from memory)",
        validity=_METERED,
    ),
    formula(
        "mixture-shift",
        "How much richer the mixture runs with the jet left alone",
        COMPARED,
        "%",
        _mixture_shift,
        source=_TEXTBOOK,
        section=_CARBURETTOR,
        validity=_METERED,
    ),
)
