"""Shaking: its frequencies, the force behind it, the clamp that resists it, and the hands that feel it.

Resonance: the natural frequency of a bracket, a bar or a mirror, from two observations.

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
from typing import Annotated

from kickover.formulas.formula import FigureRangeError, FormulaValue, choice, formula, number, worked
from kickover.formulas.timing import Rod, Stroke, refuse_short_rod
from kickover.units import show_number

ACTION_VALUE = 2.5
LIMIT_VALUE = 5.0
Rpm = Annotated[float, number("crankshaft speed", "rpm", 10, 20000, figure="cruise-speed")]

_DYNAMICS = "any text on the dynamics of machines"
Order = Annotated[float, number("shakes for each turn of the crank: 1 imbalance, 2 secondary", "", 0.01, 20)]
Friction = Annotated[float, number("friction between the faces: 0.10 oily, 0.15 usual", "", 0.03, 0.8)]


@formula(
    "Frequency of a shaking order at an engine speed",
    "Hz",
    source=_DYNAMICS,
    section="order times turns per second, by definition",
    validity="any speed",
)
def _shaking_frequency(rpm: Rpm, order: Order = 1) -> FormulaValue:
    value = order * rpm / 60
    return worked(
        {"frequency": (value, "Hz")},
        f"frequency: {show_number(order)} × {show_number(rpm)} rpm / 60 = {show_number(value)} Hz",
    )


@formula(
    "Frequency of firing at an engine speed",
    "Hz",
    source=_DYNAMICS,
    section="one firing a turn or every second turn, by definition",
    validity="evenly spaced firing",
)
def _firing_frequency(
    rpm: Rpm,
    cycle: Annotated[str, choice("working cycle", ("two-stroke", "four-stroke"))],
    cylinders: Annotated[float, number("number of cylinders", "", 1, 12)] = 1,
) -> FormulaValue:
    order = cylinders / (1 if cycle == "two-stroke" else 2)
    value = order * rpm / 60
    return worked(
        {"frequency": (value, "Hz"), "order": (order, "")},
        f"a {cycle} with {show_number(cylinders)} cylinder(s) fires {show_number(order)} times a turn",
        f"frequency: {show_number(order)} × {show_number(rpm)} rpm / 60 = {show_number(value)} Hz",
    )


@formula(
    "Peak shaking force of one piston",
    "N",
    source=_DYNAMICS,
    section="primary and secondary forces of the slider-crank (from memory)",
    validity="two terms of the series; what is left out is about 1 % for a rod of 1.5 strokes",
)
def _inertia_force(
    mass: Annotated[float, number("piston, pin, rings and the upper third of the rod", "g", 5, 5000)],
    stroke: Stroke,
    rod: Rod,
    rpm: Rpm,
) -> FormulaValue:
    refuse_short_rod("inertia-force", stroke, rod)
    radius = show_number(stroke / 2)
    omega = rpm * math.pi / 30
    primary = mass / 1000 * (stroke / 2000) * omega**2
    secondary = primary * stroke / 2 / rod
    return worked(
        {"primary": (primary, "N"), "secondary": (secondary, "N")},
        f"turning rate: {show_number(rpm)} rpm × π / 30 = {omega:.1f} rad/s",
        f"primary: {show_number(mass)} g × {radius} mm × ({omega:.1f} rad/s)² = {primary:.0f} N",
        f"secondary: {radius} / {show_number(rod)} × {primary:.0f} N = {secondary:.0f} N",
        notes=(
            "a counterweight only turns part of the primary force sideways: a healthy single still shakes",
        ),
    )


@formula(
    "Clamp at which a joint starts to slip sideways",
    "N",
    source=_DYNAMICS,
    section="dry friction, clamp = side load / friction; sideways slip is what undoes bolts",
    validity="flat metal faces without a soft gasket",
)
def _clamp_for_side_load(
    force: Annotated[float, number("side load on the joint", "N", 1, 100_000)],
    friction: Friction = 0.15,
    bolts: Annotated[float, number("number of bolts that share it", "", 1, 24)] = 1,
) -> FormulaValue:
    whole = force / friction
    return worked(
        {"clamp": (whole, "N"), "each-bolt": (whole / bolts, "N")},
        f"clamp: {show_number(force)} N / {show_number(friction)} = {whole:.0f} N",
        f"each of {show_number(bolts)} bolts: {whole / bolts:.0f} N",
        notes=("this is where the joint starts to slip; keep at least twice as much",),
    )


@formula(
    "Daily hand-arm vibration exposure, and how long it may last",
    "m/s²",
    source="Directive 2002/44/EC",
    section="Article 3(1) and Annex, part A; method of ISO 5349-1",
    validity="frequency-weighted acceleration as ISO 5349-1 measures it",
)
def _hand_arm_exposure(
    acceleration: Annotated[float, number("vibration total value at the grip", "m/s²", 0.05, 200)],
    time: Annotated[float, number("time in the day with the hands on the grips", "min", 0.1, 1440)],
) -> FormulaValue:
    hours, strong = time / 60, show_number(acceleration)
    exposure = acceleration * math.sqrt(hours / 8)
    action, limit = (8 * (value / acceleration) ** 2 for value in (ACTION_VALUE, LIMIT_VALUE))
    above = []
    if exposure > LIMIT_VALUE:
        above = ["above the daily limit value: stop, and cure the vibration"]
    elif exposure > ACTION_VALUE:
        above = ["above the daily action value: shorten the rides and reduce the vibration"]
    return worked(
        {"exposure": (exposure, "m/s²"), "time-to-action": (action, "h"), "time-to-limit": (limit, "h")},
        f"A(8): {strong} m/s² × √({show_number(hours)} h / 8 h) = {exposure:.2f} m/s²",
        f"action value {ACTION_VALUE} m/s² after 8 h × ({ACTION_VALUE} / {strong})²"
        f" = {show_number(action)} h",
        f"limit value {LIMIT_VALUE:g} m/s² after 8 h × ({LIMIT_VALUE:g} / {strong})²"
        f" = {show_number(limit)} h",
        notes=(*above, "the directive protects people at work; for private riding it is guidance only"),
    )


def damping(lower_hz: float, peak_hz: float, share: float, *, imbalance: bool) -> float:
    """Give the damping ratio from one flank frequency, the peak, and the share of the peak's deflection."""
    ratio = (peak_hz / lower_hz) ** 2 if imbalance else (lower_hz / peak_hz) ** 2
    offset = (ratio - 1) ** 2
    q = offset / (offset + share**-2 - 1)
    return math.sqrt((1 - math.sqrt(1 - q)) / 2)


def by_added_mass(added_kg: float, before_hz: float, after_hz: float) -> tuple[float, float]:
    """Give the moving mass in kg and the stiffness in N/m from the frequency before and after adding mass."""
    stiffness = 4 * math.pi**2 * added_kg / (after_hz**-2 - before_hz**-2)
    return stiffness / (4 * math.pi**2 * before_hz**2), stiffness


_OSCILLATOR = "linear oscillator with one degree of freedom, any text on mechanical vibration"
ShakenBy = Annotated[
    str, choice("imbalance grows with speed squared, a steady force does not", ("imbalance", "steady-force"))
]
Share = Annotated[
    float | None, number("strength at the two speeds against the peak; left out, light damping", "%", 10, 99)
]


@formula(
    "Natural frequency of a part from the two engine speeds at which it shakes equally hard",
    "Hz",
    source=_OSCILLATOR,
    section="frequency response, equal deflection either side of the peak; derived in this module",
    validity="one clear peak; judge by travel seen, such as the blur of a mark, not by feel",
)
def _natural_frequency(
    lower: Annotated[float, number("speed below the peak", "rpm", 50, 20000)],
    upper: Annotated[float, number("speed above the peak, equally strong", "rpm", 50, 20000)],
    order: Annotated[float, number("shakes for each turn of the crank", "", 0.25, 10)] = 1,
    shaken_by: ShakenBy = "imbalance",
    share: Share = None,
) -> FormulaValue:
    if upper <= lower:
        raise FigureRangeError(
            f"natural-frequency: upper is {show_number(upper)} rpm; it must be above the lower,"
            f" {show_number(lower)} rpm"
        )
    imbalance = shaken_by == "imbalance"
    low_hz, high_hz = lower * order / 60, upper * order / 60
    if imbalance:
        peak = math.sqrt(2 / (low_hz**-2 + high_hz**-2))
    else:
        peak = math.sqrt((low_hz**2 + high_hz**2) / 2)
    mean = "2 / (1/{:.2f}² + 1/{:.2f}²)" if imbalance else "({:.2f}² + {:.2f}²) / 2"
    lines = [
        f"the two speeds shake at {show_number(low_hz)} Hz and {show_number(high_hz)} Hz",
        f"peak: √({mean.format(low_hz, high_hz)}) = {peak:.2f} Hz",
    ]
    natural = peak
    values = {"peak": (peak, "Hz"), "peak-speed": (peak * 60 / order, "rpm")}
    notes = ["do not hold the engine at this speed for long; change the stiffness or the mass of the part"]
    if share is None:
        notes.append("the peak is given as the natural frequency; for light damping they agree within 1 %")
    else:
        zeta = damping(low_hz, peak, share / 100, imbalance=imbalance)
        shift = math.sqrt(1 - 2 * zeta**2)
        natural = peak * shift if imbalance else peak / shift
        values["damping"] = (zeta * 100, "%")
        lines.append(f"damping {zeta:.1%} of critical; undamped natural frequency {natural:.2f} Hz")
    return worked({"frequency": (natural, "Hz"), **values}, *lines, notes=tuple(notes))


@formula(
    "Stiffness and moving mass of a part from its frequency with and without a known mass",
    "N/mm",
    source=_OSCILLATOR,
    section="k = 4π² f² m before and after; derived in this module",
    validity="the mass sits where the part moves most and adds no stiffness",
)
def _stiffness_by_added_mass(
    added: Annotated[float, number("mass fixed to the part", "g", 0.5, 50000)],
    before: Annotated[float, number("frequency without it", "Hz", 0.5, 5000)],
    after: Annotated[float, number("frequency with it", "Hz", 0.5, 5000)],
) -> FormulaValue:
    kilograms, first, second = added / 1000, show_number(before), show_number(after)
    if after >= before:
        raise FigureRangeError(
            f"stiffness-by-added-mass: after is {second} Hz; it must be below the frequency before,"
            f" {first} Hz"
        )
    mass, stiffness = by_added_mass(kilograms, before, after)
    return worked(
        {"stiffness": (stiffness / 1000, "N/mm"), "moving-mass": (mass * 1000, "g")},
        f"stiffness: 4π² × {show_number(kilograms)} kg / (1/{second}² − 1/{first}²)"
        f" = {show_number(stiffness)} N/m",
        f"moving mass: {show_number(stiffness)} N/m / (4π² × {first}²) = {show_number(mass * 1000)} g",
    )
