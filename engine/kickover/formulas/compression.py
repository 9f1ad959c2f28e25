"""What a compression gauge should show, and what its readings say about leaks."""

from __future__ import annotations

from kickover.formulas.air import (
    ALTITUDE,
    REFERENCE_ALTITUDE,
    STATION_PRESSURE,
    standard_pressure,
    station_pressure,
)
from kickover.formulas.formula import (
    FigureRangeError,
    FigureUsageError,
    Formula,
    FormulaValue,
    Inputs,
    formula,
    number,
)
from kickover.units import Quantity, show_number

_POLYTROPIC = "Heywood, Internal Combustion Engine Fundamentals"


def cranking_pressure(ratio: float, exponent: float, ambient_bar: float) -> float:
    """Give the gauge pressure in bar after polytropic compression from ambient pressure: p (CRⁿ − 1)."""
    return float(ambient_bar * (ratio**exponent - 1))


def ratio_with_hose(ratio: float, share: float, displacement_cm3: float, hose_cm3: float) -> float:
    """Give the ratio left when the gauge hose adds to the clearance volume."""
    clearance = displacement_cm3 / (ratio - 1) + hose_cm3
    return (share * displacement_cm3 + clearance) / clearance


def _effective_ratio(inputs: Inputs) -> tuple[float, tuple[str, ...]]:
    ratio, share, hose = inputs["ratio"], inputs["trapped-share"], inputs["hose-volume"]
    displacement = inputs.maybe("displacement")
    if hose > 0:
        if displacement is None:
            raise FigureUsageError(
                "cranking-pressure: hose-volume needs displacement too, such as displacement=48cc"
            )
        value = ratio_with_hose(ratio, share, displacement, hose)
        clearance = displacement / (ratio - 1)
        return value, (
            f"clearance volume: {show_number(displacement)} cm³ / ({show_number(ratio)} − 1) ="
            f" {clearance:.2f} cm³",
            f"ratio with the hose: ({share:.2f} × {show_number(displacement)} + {clearance:.2f} +"
            f" {show_number(hose)})"
            f" / ({clearance:.2f} + {show_number(hose)}) = {value:.2f}",
        )
    value = 1 + share * (ratio - 1)
    if share == 1:
        return value, ()
    return value, (f"trapped ratio: 1 + {share:.2f} × ({show_number(ratio)} − 1) = {value:.2f}",)


def _cranking_pressure(inputs: Inputs) -> FormulaValue:
    ratio, lines = _effective_ratio(inputs)
    ambient_hpa, air_line = station_pressure(inputs)
    exponent = inputs["exponent"]
    ambient = ambient_hpa / 1000
    gauge = cranking_pressure(ratio, exponent, ambient)
    return FormulaValue(
        {
            "pressure": Quantity(gauge, "bar"),
            "effective-ratio": Quantity(ratio, ":1"),
            "absolute-pressure": Quantity(gauge + ambient, "bar"),
        },
        (
            *lines,
            air_line,
            f"gauge pressure: {ambient:.4f} bar × ({ratio:.2f}^{exponent:.2f} − 1) = {gauge:.2f} bar",
        ),
        (
            "throttle wide open, plug seat dry, five or more quick turns",
            "an automatic decompressor makes the reading meaningless",
        ),
    )


def _at_altitude(inputs: Inputs) -> FormulaValue:
    reading = inputs["reading"]
    here, line = station_pressure(inputs)
    there = standard_pressure(inputs["reference-altitude"])
    value = reading * here / there
    return FormulaValue(
        {"reading": Quantity(value, "bar")},
        (
            line,
            f"the same engine here: {show_number(reading)} bar × {here:.1f} hPa / {there:.1f} hPa ="
            f" {value:.2f} bar",
        ),
    )


def _leak_down(inputs: Inputs) -> FormulaValue:
    supply, cylinder = inputs["supply"], inputs["cylinder"]
    if cylinder > supply:
        raise FigureRangeError(
            f"leak-down: cylinder is {show_number(cylinder)} bar; it holds for values up to the supply,"
            f" {show_number(supply)} bar"
        )
    share = (supply - cylinder) / supply
    return FormulaValue(
        {"leak": Quantity(share * 100, "%")},
        (
            f"leak: ({show_number(supply)} − {show_number(cylinder)}) / {show_number(supply)} bar ="
            f" {share:.1%}",
        ),
        ("lock the crank: air at this pressure can spin the engine",),
    )


def _wet_test_rise(inputs: Inputs) -> FormulaValue:
    dry, wet = inputs["dry"], inputs["wet"]
    rise = (wet - dry) / dry
    return FormulaValue(
        {"rise": Quantity(rise * 100, "%")},
        (f"rise: ({show_number(wet)} − {show_number(dry)}) / {show_number(dry)} bar = {rise:.1%}",),
        ("in a very small combustion chamber the oil itself raises the ratio; use little of it",),
    )


FORMULAS: tuple[Formula, ...] = (
    formula(
        "cranking-pressure",
        "Compression gauge reading to expect from a sound engine",
        (
            number(
                "ratio",
                "compression ratio; geometric, or trapped if already counted from port closing",
                ":1",
                2,
                20,
                figure="compression-ratio",
            ),
            number(
                "trapped-share",
                "share of the stroke left when the exhaust port or the inlet valve closes; 1 for a"
                " ratio already trapped",
                "",
                0.3,
                1,
                default=1.0,
            ),
            number(
                "exponent",
                "1.20 slow, cold or slightly leaky; 1.35 quick and warm; 1.40 is the limit that is"
                " never reached",
                "",
                1.0,
                1.4,
                default=1.25,
            ),
            ALTITUDE,
            STATION_PRESSURE,
            number("hose-volume", "gauge hose before its check valve", "cm³", 0, 50, default=0.0),
            number(
                "displacement", "swept volume; needed with hose-volume only", "cm³", 5, 2000, required=False
            ),
        ),
        "bar",
        _cranking_pressure,
        source=_POLYTROPIC,
        section="polytropic compression p Vⁿ = constant (from memory); the exponents are common"
        " practice, no source",
        validity="wide-open throttle, full cylinder, no leaks; within about 15 % of a real gauge",
    ),
    formula(
        "compression-at-altitude",
        "A known good gauge reading moved to another altitude",
        (
            number("reading", "gauge reading at the reference place", "bar", 0.5, 40),
            ALTITUDE,
            STATION_PRESSURE,
            REFERENCE_ALTITUDE,
        ),
        "bar",
        _at_altitude,
        source="ISO 2533 Standard Atmosphere",
        section="troposphere; gauge pressure is in proportion to air pressure, from p Vⁿ = constant"
        " (from memory)",
        validity="the same engine in the same health",
    ),
    formula(
        "leak-down",
        "Share of the air lost in a leak-down test",
        (
            number("supply", "regulated supply pressure", "bar", 1, 10),
            number("cylinder", "pressure that the cylinder holds", "bar", 0, 10),
        ),
        "%",
        _leak_down,
        source="common practice, no source",
        section="definition of the test",
        validity="compares readings of one tester; its restrictor sets the scale",
    ),
    formula(
        "wet-test-rise",
        "Rise of the compression reading after oil in the cylinder",
        (
            number("dry", "gauge reading before", "bar", 0.2, 40),
            number("wet", "gauge reading after", "bar", 0.2, 40),
        ),
        "%",
        _wet_test_rise,
        source="common practice, no source",
        section="definition of the test; a rise above 15 to 20 % points to rings or bore",
        validity="same gauge, same cranking",
    ),
)
