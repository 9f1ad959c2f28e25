"""Resonance: the natural frequency of a bracket, a bar or a mirror, from two observations.

Two-point sweep. Below, w = f²/fn² and ζ is the damping. Shaken by imbalance, whose force grows with f²,
the deflection is in proportion to 1/√((v − 1)² + 4ζ²v) with v = 1/w. Two speeds that shake equally hard
have equal (v − 1)² + 4ζ²v, which gives v₁ + v₂ = 2(1 − 2ζ²); the peak lies at v = 1 − 2ζ², so the
peak's 1/f² is the mean of the two. Shaken by a steady force the same holds for w in place of v, and the
peak's f² is the mean. With s, the deflection at the two speeds as a share of the peak, and
e = (mean less one of the two) / mean: 4ζ²(1 − ζ²) = e²/(e² + 1/s² − 1), which is solved for ζ.

Added mass. k = 4π²f²m holds before and after a known mass is added, so both k and m follow.
"""

from __future__ import annotations

import math

from kickover.formulas.formula import (
    FigureRangeError,
    Formula,
    FormulaValue,
    Inputs,
    choice,
    formula,
    number,
)
from kickover.units import Quantity, show_number


def peak_between(lower_hz: float, upper_hz: float, *, imbalance: bool) -> float:
    """Give the frequency in Hz of the peak between two frequencies that shake equally hard."""
    if imbalance:
        return math.sqrt(2 / (lower_hz**-2 + upper_hz**-2))
    return math.sqrt((lower_hz**2 + upper_hz**2) / 2)


def damping(lower_hz: float, peak_hz: float, share: float, *, imbalance: bool) -> float:
    """Give the damping ratio from one flank frequency, the peak, and the share of the peak's deflection."""
    ratio = (peak_hz / lower_hz) ** 2 if imbalance else (lower_hz / peak_hz) ** 2
    offset = (ratio - 1) ** 2
    q = offset / (offset + share**-2 - 1)
    return math.sqrt((1 - math.sqrt(1 - q)) / 2)


def natural_from_peak(peak_hz: float, zeta: float, *, imbalance: bool) -> float:
    """Give the undamped natural frequency in Hz behind a peak."""
    shift = math.sqrt(1 - 2 * zeta**2)
    return peak_hz * shift if imbalance else peak_hz / shift


def by_added_mass(added_kg: float, before_hz: float, after_hz: float) -> tuple[float, float]:
    """Give the moving mass in kg and the stiffness in N/m from the frequency before and after adding mass."""
    stiffness = 4 * math.pi**2 * added_kg / (after_hz**-2 - before_hz**-2)
    return stiffness / (4 * math.pi**2 * before_hz**2), stiffness


def _two_point(inputs: Inputs) -> FormulaValue:
    lower, upper = inputs["lower"], inputs["upper"]
    if upper <= lower:
        raise FigureRangeError(
            f"natural-frequency: upper is {show_number(upper)} rpm; it must be above the lower,"
            f" {show_number(lower)} rpm"
        )
    order, imbalance = inputs["order"], inputs.word("shaken-by") == "imbalance"
    low_hz, high_hz = lower * order / 60, upper * order / 60
    peak = peak_between(low_hz, high_hz, imbalance=imbalance)
    lines = [f"the two speeds shake at {show_number(low_hz)} Hz and {show_number(high_hz)} Hz"]
    if imbalance:
        lines.append(f"peak: √(2 / (1/{low_hz:.2f}² + 1/{high_hz:.2f}²)) = {peak:.2f} Hz")
    else:
        lines.append(f"peak: √(({low_hz:.2f}² + {high_hz:.2f}²) / 2) = {peak:.2f} Hz")
    natural = peak
    values = {"peak": Quantity(peak, "Hz"), "peak-speed": Quantity(peak * 60 / order, "rpm")}
    notes = ["do not hold the engine at this speed for long; change the stiffness or the mass of the part"]
    share = inputs.maybe("share")
    if share is None:
        notes.append("the peak is given as the natural frequency; for light damping they agree within 1 %")
    else:
        zeta = damping(low_hz, peak, share / 100, imbalance=imbalance)
        natural = natural_from_peak(peak, zeta, imbalance=imbalance)
        values["damping"] = Quantity(zeta * 100, "%")
        lines.append(f"damping {zeta:.1%} of critical; undamped natural frequency {natural:.2f} Hz")
    values = {"frequency": Quantity(natural, "Hz"), **values}
    return FormulaValue(values, tuple(lines), tuple(notes))


def _added_mass(inputs: Inputs) -> FormulaValue:
    added, before, after = inputs["added"] / 1000, inputs["before"], inputs["after"]
    if after >= before:
        raise FigureRangeError(
            f"stiffness-by-added-mass: after is {show_number(after)} Hz; it must be below the"
            f" frequency before,"
            f" {show_number(before)} Hz"
        )
    mass, stiffness = by_added_mass(added, before, after)
    return FormulaValue(
        {"stiffness": Quantity(stiffness / 1000, "N/mm"), "moving-mass": Quantity(mass * 1000, "g")},
        (
            f"stiffness: 4π² × {show_number(added)} kg / (1/{show_number(after)}² − 1/{show_number(before)}²)"
            f" = {show_number(stiffness)} N/m",
            f"moving mass: {show_number(stiffness)} N/m / (4π² × {show_number(before)}²) ="
            f" {show_number(mass * 1000)} g",
        ),
    )


_OSCILLATOR = "linear oscillator with one degree of freedom, any text on mechanical vibration"

FORMULAS: tuple[Formula, ...] = (
    formula(
        "natural-frequency",
        "Natural frequency of a part from the two engine speeds at which it shakes equally hard",
        (
            number("lower", "speed below the peak", "rpm", 50, 20000),
            number("upper", "speed above the peak, equally strong", "rpm", 50, 20000),
            number("order", "shakes for each turn of the crank", "", 0.25, 10, default=1),
            choice(
                "shaken-by",
                "imbalance grows with speed squared, a steady force does not",
                ("imbalance", "steady-force"),
                "imbalance",
            ),
            number(
                "share",
                "strength at the two speeds against the peak; left out, light damping",
                "%",
                10,
                99,
                required=False,
            ),
        ),
        "Hz",
        _two_point,
        source=_OSCILLATOR,
        section="frequency response, equal deflection either side of the peak; derived in this module",
        validity="one clear peak; judge by travel seen, such as the blur of a mark, not by feel",
    ),
    formula(
        "stiffness-by-added-mass",
        "Stiffness and moving mass of a part from its frequency with and without a known mass",
        (
            number("added", "mass fixed to the part", "g", 0.5, 50000),
            number("before", "frequency without it", "Hz", 0.5, 5000),
            number("after", "frequency with it", "Hz", 0.5, 5000),
        ),
        "N/mm",
        _added_mass,
        source=_OSCILLATOR,
        section="k = 4π² f² m before and after; derived in this module",
        validity="the mass sits where the part moves most and adds no stiffness",
    ),
)
