"""Copper windings and wires against temperature, and the voltage that a spark gap needs."""

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

COPPER_COEFFICIENT = 0.00393
COPPER_RESISTIVITY = 1 / 58
PASCHEN_A = 112.5
PASCHEN_B = 2737.5
_COPPER = "IEC 60028, International standard of resistance for copper"


def copper_factor(celsius: float) -> float:
    """Give the resistance of copper at a temperature over that at 20 °C (IEC 60028)."""
    return 1 + COPPER_COEFFICIENT * (celsius - 20)


def paschen_voltage(gap_cm: float, pressure_kpa: float, emission: float) -> float | None:
    """Give the breakdown voltage in V of an even gap in air at 20 °C, or None left of the curve's pole."""
    reach = PASCHEN_A * pressure_kpa * gap_cm
    start = math.log(1 + 1 / emission)
    if reach <= start:
        return None
    return PASCHEN_B * pressure_kpa * gap_cm / (math.log(reach) - math.log(start))


def paschen_minimum(emission: float) -> tuple[float, float]:
    """Give the lowest breakdown voltage in V and the pressure times gap, in kPa·cm, at which it lies."""
    product = math.e * math.log(1 + 1 / emission) / PASCHEN_A
    return PASCHEN_B * product, product


def uniform_field_voltage(gap_cm: float, relative_density: float) -> float:
    """Give the breakdown voltage in V of an even gap in air by the empirical uniform-field rule."""
    reach = relative_density * gap_cm
    return (24.22 * reach + 6.08 * math.sqrt(reach)) * 1000


def _winding(inputs: Inputs) -> FormulaValue:
    read, lead = inputs["resistance"], inputs["lead-resistance"]
    at, to = inputs["temperature"], inputs["to-temperature"]
    if lead >= read:
        raise FigureRangeError(
            f"winding-resistance: lead-resistance is {show_number(lead)} Ω; it must be less than the reading,"
            f" {show_number(read, 4)} Ω"
        )
    value = (read - lead) * copper_factor(to) / copper_factor(at)
    working = [] if lead == 0 else [f"without the leads: {show_number(read, 4)} − {show_number(lead)} Ω"]
    working.append(
        f"at {show_number(to)} °C: {show_number(read - lead, 4)} Ω"
        f" × (1 + {COPPER_COEFFICIENT} × ({show_number(to)} − 20)) / (1 + {COPPER_COEFFICIENT} ×"
        f" ({show_number(at)} − 20))"
        f" = {show_number(value, 4)} Ω"
    )
    return FormulaValue({"resistance": Quantity(value, "Ω")}, tuple(working))


def _wire(inputs: Inputs) -> FormulaValue:
    length, diameter, celsius = inputs["length"], inputs["diameter"], inputs["temperature"]
    area = math.pi / 4 * diameter**2
    value = COPPER_RESISTIVITY * length / area * copper_factor(celsius)
    values = {"resistance": Quantity(value, "Ω")}
    working = [
        f"area: π/4 × ({show_number(diameter)} mm)² = {show_number(area, 4)} mm²",
        f"resistance: {show_number(length)} m / (58 m/(Ω·mm²) × {show_number(area, 4)} mm²)"
        f" × (1 + {COPPER_COEFFICIENT} × ({show_number(celsius)} − 20)) = {show_number(value, 4)} Ω",
    ]
    current = inputs.maybe("current")
    if current is not None:
        values["voltage-drop"] = Quantity(value * current, "V")
        working.append(
            f"voltage lost: {show_number(value, 4)} Ω × {show_number(current)} A ="
            f" {show_number(value * current)} V"
        )
    return FormulaValue(values, tuple(working))


def gauge_diameter(gauge: float) -> float:
    """Give the diameter in mm of a wire by its American gauge; 00, 000 and 0000 are -1, -2 and -3."""
    return float(0.127 * 92 ** ((36 - gauge) / 39))


def _gauge(inputs: Inputs) -> FormulaValue:
    gauge = inputs["gauge"]
    diameter = gauge_diameter(gauge)
    area = math.pi / 4 * diameter**2
    ohms = COPPER_RESISTIVITY * 1000 / area
    return FormulaValue(
        {
            "diameter": Quantity(diameter, "mm"),
            "area": Quantity(area, "mm²"),
            "resistance-of-a-kilometre": Quantity(ohms, "Ω"),
        },
        (
            f"diameter: 0.127 mm × 92^((36 − {show_number(gauge)}) / 39) = {show_number(diameter, 4)} mm",
            f"area: π/4 × ({show_number(diameter, 4)} mm)² = {show_number(area, 4)} mm²",
            f"a kilometre of copper at 20 °C: 1000 / (58 × {show_number(area, 4)}) Ω",
        ),
    )


def _wire_for(inputs: Inputs) -> FormulaValue:
    length, current, lost = inputs["length"], inputs["current"], inputs["voltage-lost"]
    area = COPPER_RESISTIVITY * copper_factor(inputs["temperature"]) * length * current / lost
    diameter = math.sqrt(4 / math.pi * area)
    exact = 36 - 39 * math.log(diameter / 0.127) / math.log(92)
    gauge = math.floor(exact + 1e-9)
    return FormulaValue(
        {
            "area": Quantity(area, "mm²"),
            "diameter": Quantity(diameter, "mm"),
            "gauge": Quantity(gauge, ""),
        },
        (
            f"area: {show_number(length)} m × {show_number(current)} A / (58 × {show_number(lost)} V),"
            f" at the wire's temperature = {show_number(area)} mm²",
            f"the gauge that is no thinner: {gauge} (exactly {exact:.1f})",
        ),
        ("what the wire may carry without getting too hot is another limit; fuse it by that",),
    )


def _breakdown(inputs: Inputs) -> FormulaValue:
    gap, pressure, celsius = inputs["gap"] / 10, inputs["pressure"] * 100, inputs["temperature"]
    density_ratio = (pressure / 101.325) * 293.15 / (celsius + 273.15)
    density_line = (
        f"air density against 20 °C and 1.01325 bar: {show_number(pressure / 100, 4)} / 1.01325"
        f" × 293.15 / {celsius + 273.15:.2f} = {density_ratio:.3f}"
    )
    if inputs.word("method") == "uniform-field":
        volts = uniform_field_voltage(gap, density_ratio)
        reach = density_ratio * gap
        line = f"voltage: 24.22 × {reach:.4f} cm + 6.08 × √{reach:.4f} cm = {volts / 1000:.2f} kV"
    else:
        emission, equivalent = inputs["emission"], density_ratio * 101.325
        found = paschen_voltage(gap, equivalent, emission)
        if found is None:
            raise FigureRangeError(
                f"breakdown-voltage: gap times pressure is {equivalent * gap:.4f} kPa·cm; the Paschen"
                f" curve holds from"
                f" {math.log(1 + 1 / emission) / PASCHEN_A:.4f} kPa·cm"
            )
        volts = found
        line = (
            f"voltage: {PASCHEN_B} × {equivalent:.1f} kPa × {gap:.3f} cm / (ln({PASCHEN_A} ×"
            f" {equivalent:.1f} × {gap:.3f})"
            f" − ln(ln(1 + 1 / {show_number(emission)}))) = {volts / 1000:.2f} kV"
        )
    return FormulaValue(
        {"voltage": Quantity(volts / 1000, "kV"), "relative-density": Quantity(density_ratio, "")},
        (density_line, line),
        (
            "for smooth, even electrodes; sharp and hot ones break down lower",
            "a spark in open air proves little: the same gap under compression needs about three"
            " times the voltage",
        ),
    )


_HOT_OR_COLD = "-40 to 200 °C; copper only, not resistor caps, suppression leads or coils with diodes"

FORMULAS: tuple[Formula, ...] = (
    formula(
        "winding-resistance",
        "Resistance of a copper winding at another temperature",
        (
            number("resistance", "resistance read, or given in the manual", "Ω", 0.001, 1_000_000),
            number("temperature", "temperature at which that holds", "°C", -40, 200, default=20),
            number("to-temperature", "temperature wanted", "°C", -40, 200, default=20),
            number("lead-resistance", "the meter's own leads, probes held together", "Ω", 0, 5, default=0.0),
        ),
        "Ω",
        _winding,
        source=_COPPER,
        section="temperature coefficient 0.00393 per °C at 20 °C",
        validity=_HOT_OR_COLD,
    ),
    formula(
        "wire-resistance",
        "Resistance of a copper wire, and the voltage lost in it",
        (
            number("length", "length of wire, there and back", "m", 0.01, 10000),
            number("diameter", "bare diameter, or that of the strands taken together", "mm", 0.02, 12),
            number("temperature", "temperature of the wire", "°C", -40, 200, default=20),
            number("current", "current; left out, no voltage is given", "A", 0, 500, required=False),
        ),
        "Ω",
        _wire,
        source=_COPPER,
        section="resistivity 1/58 Ω·mm²/m at 20 °C",
        validity="annealed copper; joints and connectors add to it",
    ),
    formula(
        "wire-gauge",
        "Diameter, area and resistance of a wire by its American gauge",
        (number("gauge", "gauge; 00, 000 and 0000 are -1, -2 and -3", "", -3, 40),),
        "mm",
        _gauge,
        source="ASTM B258, sizes of round solid wires by American wire gauge (from memory); IEC 60028",
        section="36 gauge is 0.127 mm, and 39 steps up to 0000 are a factor of 92",
        validity="solid copper; a stranded wire of the same gauge is thicker outside",
    ),
    formula(
        "wire-for-drop",
        "Copper wire that loses no more than so many volts",
        (
            number("length", "length of wire, there and back", "m", 0.01, 1000),
            number("current", "current", "A", 0.01, 500),
            number("voltage-lost", "volts that may be lost in it", "V", 0.01, 50),
            number("temperature", "temperature of the wire", "°C", -40, 200, default=20),
        ),
        "mm²",
        _wire_for,
        source=_COPPER,
        section="resistivity 1/58 Ω·mm²/m at 20 °C; gauge by ASTM B258 (from memory)",
        validity="annealed copper; joints and connectors add to the loss",
    ),
    formula(
        "breakdown-voltage",
        "Voltage that a spark gap needs",
        (
            number("gap", "gap between the electrodes", "mm", 0.005, 20, figure="plug-gap"),
            number(
                "pressure",
                "absolute pressure: gauge pressure plus air pressure",
                "bar",
                0.05,
                30,
                default=1.01325,
            ),
            number("temperature", "temperature of the gas", "°C", -60, 600, default=20),
            choice("method", "the curve to use", ("paschen", "uniform-field"), "paschen"),
            number(
                "emission",
                "secondary emission of the cathode, for the Paschen curve",
                "",
                0.0001,
                0.5,
                default=0.01,
            ),
        ),
        "kV",
        _breakdown,
        source="Paschen's law; empirical uniform-field rule of high-voltage texts",
        section="A = 112.5 and B = 2737.5 V per kPa·cm; 24.22 and 6.08 kV (from memory)",
        validity="even field in dry air; Paschen reads high at plug gaps above a few bar",
    ),
)
