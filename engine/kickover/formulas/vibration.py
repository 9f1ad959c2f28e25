"""Shaking: its frequencies, the force behind it, the clamp that resists it, and the hands that feel it."""

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

ACTION_VALUE = 2.5
LIMIT_VALUE = 5.0
_RPM = number("rpm", "crankshaft speed", "rpm", 10, 20000, figure="cruise-speed")


def inertia_forces(mass_kg: float, stroke_mm: float, rod_mm: float, rpm: float) -> tuple[float, float]:
    """Give the peak primary and secondary reciprocating forces in N: m r ω² and (r/L) m r ω²."""
    radius, omega = stroke_mm / 2000, rpm * math.pi / 30
    primary = mass_kg * radius * omega**2
    return primary, primary * stroke_mm / 2 / rod_mm


def daily_exposure(acceleration: float, hours: float) -> float:
    """Give A(8) in m/s²: a √(T / 8 h)."""
    return acceleration * math.sqrt(hours / 8)


def hours_to(level: float, acceleration: float) -> float:
    """Give the hours at an acceleration after which A(8) reaches a level."""
    return 8 * (level / acceleration) ** 2


def _shaking(inputs: Inputs) -> FormulaValue:
    rpm, order = inputs["rpm"], inputs["order"]
    value = order * rpm / 60
    return FormulaValue(
        {"frequency": Quantity(value, "Hz")},
        (f"frequency: {show_number(order)} × {show_number(rpm)} rpm / 60 = {show_number(value)} Hz",),
    )


def _firing(inputs: Inputs) -> FormulaValue:
    rpm, cylinders, cycle = inputs["rpm"], inputs["cylinders"], inputs.word("cycle")
    order = cylinders / (1 if cycle == "two-stroke" else 2)
    value = order * rpm / 60
    return FormulaValue(
        {"frequency": Quantity(value, "Hz"), "order": Quantity(order, "")},
        (
            f"a {cycle} with {show_number(cylinders)} cylinder(s) fires {show_number(order)} times a turn",
            f"frequency: {show_number(order)} × {show_number(rpm)} rpm / 60 = {show_number(value)} Hz",
        ),
    )


def _inertia(inputs: Inputs) -> FormulaValue:
    grams, stroke, rod, rpm = inputs["mass"], inputs["stroke"], inputs["rod"], inputs["rpm"]
    if rod <= stroke / 2:
        raise FigureRangeError(
            f"inertia-force: rod is {show_number(rod)} mm; it must be longer than half the stroke,"
            f" {show_number(stroke / 2)} mm"
        )
    primary, secondary = inertia_forces(grams / 1000, stroke, rod, rpm)
    omega = rpm * math.pi / 30
    return FormulaValue(
        {"primary": Quantity(primary, "N"), "secondary": Quantity(secondary, "N")},
        (
            f"turning rate: {show_number(rpm)} rpm × π / 30 = {omega:.1f} rad/s",
            f"primary: {show_number(grams)} g × {show_number(stroke / 2)} mm × ({omega:.1f} rad/s)² ="
            f" {primary:.0f} N",
            f"secondary: {show_number(stroke / 2)} / {show_number(rod)} × {primary:.0f} N ="
            f" {secondary:.0f} N",
        ),
        ("a counterweight only turns part of the primary force sideways: a healthy single still shakes",),
    )


def _clamp(inputs: Inputs) -> FormulaValue:
    force, friction, bolts = inputs["force"], inputs["friction"], inputs["bolts"]
    whole = force / friction
    return FormulaValue(
        {"clamp": Quantity(whole, "N"), "each-bolt": Quantity(whole / bolts, "N")},
        (
            f"clamp: {show_number(force)} N / {show_number(friction)} = {whole:.0f} N",
            f"each of {show_number(bolts)} bolts: {whole / bolts:.0f} N",
        ),
        ("this is where the joint starts to slip; keep at least twice as much",),
    )


def _hand_arm(inputs: Inputs) -> FormulaValue:
    acceleration, hours = inputs["acceleration"], inputs["time"] / 60
    exposure = daily_exposure(acceleration, hours)
    action, limit = hours_to(ACTION_VALUE, acceleration), hours_to(LIMIT_VALUE, acceleration)
    notes = ["the directive protects people at work; for private riding it is guidance only"]
    if exposure > LIMIT_VALUE:
        notes.insert(0, "above the daily limit value: stop, and cure the vibration")
    elif exposure > ACTION_VALUE:
        notes.insert(0, "above the daily action value: shorten the rides and reduce the vibration")
    return FormulaValue(
        {
            "exposure": Quantity(exposure, "m/s²"),
            "time-to-action": Quantity(action, "h"),
            "time-to-limit": Quantity(limit, "h"),
        },
        (
            f"A(8): {show_number(acceleration)} m/s² × √({show_number(hours)} h / 8 h) = {exposure:.2f} m/s²",
            f"action value {ACTION_VALUE} m/s² after 8 h × ({ACTION_VALUE} /"
            f" {show_number(acceleration)})² = {show_number(action)} h",
            f"limit value {LIMIT_VALUE:g} m/s² after 8 h × ({LIMIT_VALUE:g} /"
            f" {show_number(acceleration)})² = {show_number(limit)} h",
        ),
        tuple(notes),
    )


_DYNAMICS = "any text on the dynamics of machines"

FORMULAS: tuple[Formula, ...] = (
    formula(
        "shaking-frequency",
        "Frequency of a shaking order at an engine speed",
        (
            _RPM,
            number(
                "order",
                "shakes for each turn of the crank: 1 imbalance, 2 secondary",
                "",
                0.01,
                20,
                default=1,
            ),
        ),
        "Hz",
        _shaking,
        source=_DYNAMICS,
        section="order times turns per second, by definition",
        validity="any speed",
    ),
    formula(
        "firing-frequency",
        "Frequency of firing at an engine speed",
        (
            _RPM,
            choice("cycle", "working cycle", ("two-stroke", "four-stroke")),
            number("cylinders", "number of cylinders", "", 1, 12, default=1),
        ),
        "Hz",
        _firing,
        source=_DYNAMICS,
        section="one firing a turn or every second turn, by definition",
        validity="evenly spaced firing",
    ),
    formula(
        "inertia-force",
        "Peak shaking force of one piston",
        (
            number("mass", "piston, pin, rings and the upper third of the rod", "g", 5, 5000),
            number("stroke", "piston stroke", "mm", 10, 200, figure="stroke"),
            number("rod", "connecting rod, centre to centre", "mm", 15, 400, figure="rod-length"),
            _RPM,
        ),
        "N",
        _inertia,
        source=_DYNAMICS,
        section="primary and secondary forces of the slider-crank (from memory)",
        validity="two terms of the series; what is left out is about 1 % for a rod of 1.5 strokes",
    ),
    formula(
        "clamp-for-side-load",
        "Clamp at which a joint starts to slip sideways",
        (
            number("force", "side load on the joint", "N", 1, 100_000),
            number(
                "friction", "friction between the faces: 0.10 oily, 0.15 usual", "", 0.03, 0.8, default=0.15
            ),
            number("bolts", "number of bolts that share it", "", 1, 24, default=1),
        ),
        "N",
        _clamp,
        source=_DYNAMICS,
        section="dry friction, clamp = side load / friction; sideways slip is what undoes bolts",
        validity="flat metal faces without a soft gasket",
    ),
    formula(
        "hand-arm-exposure",
        "Daily hand-arm vibration exposure, and how long it may last",
        (
            number("acceleration", "vibration total value at the grip", "m/s²", 0.05, 200),
            number("time", "time in the day with the hands on the grips", "min", 0.1, 1440),
        ),
        "m/s²",
        _hand_arm,
        source="Directive 2002/44/EC",
        section="Article 3(1) and Annex, part A; method of ISO 5349-1",
        validity="frequency-weighted acceleration as ISO 5349-1 measures it",
    ),
)
