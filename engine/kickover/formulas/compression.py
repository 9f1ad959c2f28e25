"""What a compression gauge should show, and what its readings say about leaks."""

from __future__ import annotations

from typing import Annotated

from kickover.formulas.air import (
    STANDARD,
    Altitude,
    ReferenceAltitude,
    StationPressure,
    standard_pressure,
    station_pressure,
)
from kickover.formulas.formula import (
    HEYWOOD,
    PRACTICE,
    FigureRangeError,
    FigureUsageError,
    FormulaValue,
    formula,
    number,
    worked,
)
from kickover.units import show_number


def cranking_pressure(ratio: float, exponent: float, ambient_bar: float) -> float:
    """Give the gauge pressure in bar after polytropic compression from ambient pressure: p (CRⁿ − 1)."""
    return float(ambient_bar * (ratio**exponent - 1))


def ratio_with_hose(ratio: float, share: float, displacement_cm3: float, hose_cm3: float) -> float:
    """Give the ratio left when the gauge hose adds to the clearance volume."""
    clearance = displacement_cm3 / (ratio - 1) + hose_cm3
    return (share * displacement_cm3 + clearance) / clearance


def _effective_ratio(
    ratio: float, share: float, hose: float, displacement: float | None
) -> tuple[float, tuple[str, ...]]:
    if hose <= 0:
        value = 1 + share * (ratio - 1)
        line = f"trapped ratio: 1 + {share:.2f} × ({show_number(ratio)} − 1) = {value:.2f}"
        return value, () if share == 1 else (line,)
    if displacement is None:
        raise FigureUsageError(
            "cranking-pressure: hose-volume needs displacement too, such as displacement=48cc"
        )
    value = ratio_with_hose(ratio, share, displacement, hose)
    clearance, swept, added = displacement / (ratio - 1), show_number(displacement), show_number(hose)
    return value, (
        f"clearance volume: {swept} cm³ / ({show_number(ratio)} − 1) = {clearance:.2f} cm³",
        f"ratio with the hose: ({share:.2f} × {swept} + {clearance:.2f} + {added})"
        f" / ({clearance:.2f} + {added}) = {value:.2f}",
    )


Ratio = Annotated[
    float,
    number(
        "compression ratio; geometric, or trapped if already counted from port closing",
        ":1",
        2,
        20,
        figure="compression-ratio",
    ),
]
TrappedShare = Annotated[
    float,
    number(
        "share of the stroke left when the exhaust port or the inlet valve closes; 1 for a"
        " ratio already trapped",
        "",
        0.3,
        1,
    ),
]
Exponent = Annotated[
    float,
    number(
        "1.20 slow, cold or slightly leaky; 1.35 quick and warm; 1.40 is the limit that is never reached",
        "",
        1.0,
        1.4,
    ),
]
Displacement = Annotated[float | None, number("swept volume; needed with hose-volume only", "cm³", 5, 2000)]


@formula(
    "Compression gauge reading to expect from a sound engine",
    "bar",
    source=HEYWOOD,
    section="polytropic compression p Vⁿ = constant (from memory); the exponents are common"
    " practice, no source",
    validity="wide-open throttle, full cylinder, no leaks; within about 15 % of a real gauge",
)
def _cranking_pressure(
    ratio: Ratio,
    trapped_share: TrappedShare = 1.0,
    exponent: Exponent = 1.25,
    altitude: Altitude = 0.0,
    pressure: StationPressure = None,
    hose_volume: Annotated[float, number("gauge hose before its check valve", "cm³", 0, 50)] = 0.0,
    displacement: Displacement = None,
) -> FormulaValue:
    ratio, lines = _effective_ratio(ratio, trapped_share, hose_volume, displacement)
    ambient_hpa, air_line = station_pressure(altitude, pressure)
    ambient = ambient_hpa / 1000
    gauge = cranking_pressure(ratio, exponent, ambient)
    return worked(
        {
            "pressure": (gauge, "bar"),
            "effective-ratio": (ratio, ":1"),
            "absolute-pressure": (gauge + ambient, "bar"),
        },
        *lines,
        air_line,
        f"gauge pressure: {ambient:.4f} bar × ({ratio:.2f}^{exponent:.2f} − 1) = {gauge:.2f} bar",
        notes=(
            "throttle wide open, plug seat dry, five or more quick turns",
            "an automatic decompressor makes the reading meaningless",
        ),
    )


@formula(
    "A known good gauge reading moved to another altitude",
    "bar",
    source=STANDARD,
    section="troposphere; gauge pressure is in proportion to air pressure, from p Vⁿ = constant"
    " (from memory)",
    validity="the same engine in the same health",
)
def _compression_at_altitude(
    reading: Annotated[float, number("gauge reading at the reference place", "bar", 0.5, 40)],
    altitude: Altitude = 0.0,
    pressure: StationPressure = None,
    reference_altitude: ReferenceAltitude = 0.0,
) -> FormulaValue:
    here, line = station_pressure(altitude, pressure)
    there = standard_pressure(reference_altitude)
    value = reading * here / there
    return worked(
        {"reading": (value, "bar")},
        line,
        f"the same engine here: {show_number(reading)} bar × {here:.1f} hPa / {there:.1f} hPa ="
        f" {value:.2f} bar",
    )


@formula(
    "Share of the air lost in a leak-down test",
    "%",
    source=PRACTICE,
    section="definition of the test",
    validity="compares readings of one tester; its restrictor sets the scale",
)
def _leak_down(
    supply: Annotated[float, number("regulated supply pressure", "bar", 1, 10)],
    cylinder: Annotated[float, number("pressure that the cylinder holds", "bar", 0, 10)],
) -> FormulaValue:
    if cylinder > supply:
        raise FigureRangeError(
            f"leak-down: cylinder is {show_number(cylinder)} bar; it holds for values up to the supply,"
            f" {show_number(supply)} bar"
        )
    share = (supply - cylinder) / supply
    return worked(
        {"leak": (share * 100, "%")},
        f"leak: ({show_number(supply)} − {show_number(cylinder)}) / {show_number(supply)} bar = {share:.1%}",
        notes=("lock the crank: air at this pressure can spin the engine",),
    )


@formula(
    "Rise of the compression reading after oil in the cylinder",
    "%",
    source=PRACTICE,
    section="definition of the test; a rise above 15 to 20 % points to rings or bore",
    validity="same gauge, same cranking",
)
def _wet_test_rise(
    dry: Annotated[float, number("gauge reading before", "bar", 0.2, 40)],
    wet: Annotated[float, number("gauge reading after", "bar", 0.2, 40)],
) -> FormulaValue:
    rise = (wet - dry) / dry
    return worked(
        {"rise": (rise * 100, "%")},
        f"rise: ({show_number(wet)} − {show_number(dry)}) / {show_number(dry)} bar = {rise:.1%}",
        notes=("in a very small combustion chamber the oil itself raises the ratio; use little of it",),
    )
