"""Copper windings and wires against temperature, and the voltage that a spark gap needs."""

from __future__ import annotations

import math
from typing import Annotated

from kickover.formulas.formula import FigureRangeError, FormulaValue, choice, formula, number, worked
from kickover.units import show_number

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


Diameter = Annotated[float, number("bare diameter, or that of the strands taken together", "mm", 0.02, 12)]
Temperature = Annotated[float, number("temperature of the wire", "°C", -40, 200)]
Pressure = Annotated[float, number("absolute pressure: gauge pressure plus air pressure", "bar", 0.05, 30)]
Emission = Annotated[
    float, number("secondary emission of the cathode, for the Paschen curve", "", 0.0001, 0.5)
]


@formula(
    "Resistance of a copper winding at another temperature",
    "Ω",
    source=_COPPER,
    section="temperature coefficient 0.00393 per °C at 20 °C",
    validity="-40 to 200 °C; copper only, not resistor caps, suppression leads or coils with diodes",
)
def _winding_resistance(
    resistance: Annotated[float, number("resistance read, or given in the manual", "Ω", 0.001, 1_000_000)],
    temperature: Annotated[float, number("temperature at which that holds", "°C", -40, 200)] = 20,
    to_temperature: Annotated[float, number("temperature wanted", "°C", -40, 200)] = 20,
    lead_resistance: Annotated[float, number("the meter's own leads, probes held together", "Ω", 0, 5)] = 0.0,
) -> FormulaValue:
    read, lead = show_number(resistance, 4), show_number(lead_resistance)
    if lead_resistance >= resistance:
        raise FigureRangeError(
            f"winding-resistance: lead-resistance is {lead} Ω; it must be less than the reading, {read} Ω"
        )
    own, to = resistance - lead_resistance, show_number(to_temperature)
    value = own * copper_factor(to_temperature) / copper_factor(temperature)
    return worked(
        {"resistance": (value, "Ω")},
        *([] if lead_resistance == 0 else [f"without the leads: {read} − {lead} Ω"]),
        f"at {to} °C: {show_number(own, 4)} Ω × (1 + {COPPER_COEFFICIENT} × ({to} − 20))"
        f" / (1 + {COPPER_COEFFICIENT} × ({show_number(temperature)} − 20)) = {show_number(value, 4)} Ω",
    )


@formula(
    "Resistance of a copper wire, and the voltage lost in it",
    "Ω",
    source=_COPPER,
    section="resistivity 1/58 Ω·mm²/m at 20 °C",
    validity="annealed copper; joints and connectors add to it",
)
def _wire_resistance(
    length: Annotated[float, number("length of wire, there and back", "m", 0.01, 10000)],
    diameter: Diameter,
    temperature: Temperature = 20,
    current: Annotated[float | None, number("current; left out, no voltage is given", "A", 0, 500)] = None,
) -> FormulaValue:
    area = math.pi / 4 * diameter**2
    value = COPPER_RESISTIVITY * length / area * copper_factor(temperature)
    values = {"resistance": (value, "Ω")}
    working = [
        f"area: π/4 × ({show_number(diameter)} mm)² = {show_number(area, 4)} mm²",
        f"resistance: {show_number(length)} m / (58 m/(Ω·mm²) × {show_number(area, 4)} mm²)"
        f" × (1 + {COPPER_COEFFICIENT} × ({show_number(temperature)} − 20)) = {show_number(value, 4)} Ω",
    ]
    if current is not None:
        values["voltage-drop"] = (value * current, "V")
        working.append(
            f"voltage lost: {show_number(value, 4)} Ω × {show_number(current)} A ="
            f" {show_number(value * current)} V"
        )
    return worked(values, *working)


@formula(
    "Diameter, area and resistance of a wire by its American gauge",
    "mm",
    source="ASTM B258, sizes of round solid wires by American wire gauge (from memory); IEC 60028",
    section="36 gauge is 0.127 mm, and 39 steps up to 0000 are a factor of 92",
    validity="solid copper; a stranded wire of the same gauge is thicker outside",
)
def _wire_gauge(
    gauge: Annotated[float, number("gauge; 00, 000 and 0000 are -1, -2 and -3", "", -3, 40)],
) -> FormulaValue:
    diameter = 0.127 * 92 ** ((36 - gauge) / 39)
    area = math.pi / 4 * diameter**2
    ohms = COPPER_RESISTIVITY * 1000 / area
    return worked(
        {"diameter": (diameter, "mm"), "area": (area, "mm²"), "resistance-of-a-kilometre": (ohms, "Ω")},
        f"diameter: 0.127 mm × 92^((36 − {show_number(gauge)}) / 39) = {show_number(diameter, 4)} mm",
        f"area: π/4 × ({show_number(diameter, 4)} mm)² = {show_number(area, 4)} mm²",
        f"a kilometre of copper at 20 °C: 1000 / (58 × {show_number(area, 4)}) Ω",
    )


@formula(
    "Copper wire that loses no more than so many volts",
    "mm²",
    source=_COPPER,
    section="resistivity 1/58 Ω·mm²/m at 20 °C; gauge by ASTM B258 (from memory)",
    validity="annealed copper; joints and connectors add to the loss",
)
def _wire_for_drop(
    length: Annotated[float, number("length of wire, there and back", "m", 0.01, 1000)],
    current: Annotated[float, number("current", "A", 0.01, 500)],
    voltage_lost: Annotated[float, number("volts that may be lost in it", "V", 0.01, 50)],
    temperature: Temperature = 20,
) -> FormulaValue:
    area = COPPER_RESISTIVITY * copper_factor(temperature) * length * current / voltage_lost
    diameter = math.sqrt(4 / math.pi * area)
    exact = 36 - 39 * math.log(diameter / 0.127) / math.log(92)
    gauge = math.floor(exact + 1e-9)
    return worked(
        {"area": (area, "mm²"), "diameter": (diameter, "mm"), "gauge": (gauge, "")},
        f"area: {show_number(length)} m × {show_number(current)} A / (58 × {show_number(voltage_lost)} V),"
        f" at the wire's temperature = {show_number(area)} mm²",
        f"the gauge that is no thinner: {gauge} (exactly {exact:.1f})",
        notes=("what the wire may carry without getting too hot is another limit; fuse it by that",),
    )


@formula(
    "Voltage that a spark gap needs",
    "kV",
    source="Paschen's law; empirical uniform-field rule of high-voltage texts",
    section="A = 112.5 and B = 2737.5 V per kPa·cm; 24.22 and 6.08 kV (from memory)",
    validity="even field in dry air; Paschen reads high at plug gaps above a few bar",
)
def _breakdown_voltage(
    gap: Annotated[float, number("gap between the electrodes", "mm", 0.005, 20, figure="plug-gap")],
    pressure: Pressure = 1.01325,
    temperature: Annotated[float, number("temperature of the gas", "°C", -60, 600)] = 20,
    method: Annotated[str, choice("the curve to use", ("paschen", "uniform-field"))] = "paschen",
    emission: Emission = 0.01,
) -> FormulaValue:
    gap, pressure, kelvin = gap / 10, pressure * 100, temperature + 273.15
    density_ratio = (pressure / 101.325) * 293.15 / kelvin
    if method == "uniform-field":
        reach = density_ratio * gap
        volts = (24.22 * reach + 6.08 * math.sqrt(reach)) * 1000
        line = f"voltage: 24.22 × {reach:.4f} cm + 6.08 × √{reach:.4f} cm = {volts / 1000:.2f} kV"
    else:
        equivalent = density_ratio * 101.325
        found = paschen_voltage(gap, equivalent, emission)
        if found is None:
            raise FigureRangeError(
                f"breakdown-voltage: gap times pressure is {equivalent * gap:.4f} kPa·cm; the Paschen"
                f" curve holds from {math.log(1 + 1 / emission) / PASCHEN_A:.4f} kPa·cm"
            )
        volts = found
        line = (
            f"voltage: {PASCHEN_B} × {equivalent:.1f} kPa × {gap:.3f} cm"
            f" / (ln({PASCHEN_A} × {equivalent:.1f} × {gap:.3f})"
            f" − ln(ln(1 + 1 / {show_number(emission)}))) = {volts / 1000:.2f} kV"
        )
    return worked(
        {"voltage": (volts / 1000, "kV"), "relative-density": (density_ratio, "")},
        f"air density against 20 °C and 1.01325 bar: {show_number(pressure / 100, 4)} / 1.01325"
        f" × 293.15 / {kelvin:.2f} = {density_ratio:.3f}",
        line,
        notes=(
            "for smooth, even electrodes; sharp and hot ones break down lower",
            "a spark in open air proves little: the same gap under compression needs about three"
            " times the voltage",
        ),
    )
