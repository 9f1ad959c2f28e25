"""Fuel that flows and air that leaks: timed readings made into rates."""

from __future__ import annotations

from kickover.formulas.formula import FigureRangeError, Formula, FormulaValue, Inputs, formula, number
from kickover.units import Quantity, show_number


def fuel_need(power_kw: float, use_g_per_kwh: float, density_kg_per_l: float) -> float:
    """Give the fuel that an engine burns, in ml/min."""
    return power_kw * use_g_per_kwh / density_kg_per_l / 60


def _fuel_flow(inputs: Inputs) -> FormulaValue:
    volume, seconds = inputs["volume"], inputs["time"]
    rate = volume * 60 / seconds
    return FormulaValue(
        {"flow": Quantity(rate, "ml/min")},
        (
            f"flow: {show_number(volume)} ml / {show_number(seconds)} s × 60 s/min ="
            f" {show_number(rate)} ml/min",
        ),
        ("catch the fuel in a closed can, engine cold, nothing that sparks nearby",),
    )


def _fuel_need(inputs: Inputs) -> FormulaValue:
    power, use, density, margin = inputs["power"], inputs["use"], inputs["density"], inputs["margin"]
    burnt = fuel_need(power, use, density)
    needed = burnt * margin
    return FormulaValue(
        {"flow": Quantity(needed, "ml/min"), "burnt": Quantity(burnt, "ml/min")},
        (
            f"burnt: {show_number(power)} kW × {show_number(use)} g/kWh / {show_number(density)} kg/L / 60"
            f" = {burnt:.1f} ml/min",
            f"with a margin of {show_number(margin)}: {needed:.1f} ml/min",
        ),
    )


def _leak_rate(inputs: Inputs) -> FormulaValue:
    start, end, minutes = inputs["start"], inputs["end"], inputs["time"]
    if end > start:
        raise FigureRangeError(
            f"crankcase-leak-rate: end is {show_number(end)} bar; it holds for values up to the start,"
            f" {show_number(start)} bar"
        )
    rate = (start - end) / minutes
    values = {"rate": Quantity(rate, "bar/min"), "kept": Quantity(100 * end / start, "%")}
    working = [
        f"rate: ({show_number(start)} − {show_number(end)}) bar / {show_number(minutes)} min ="
        f" {rate:.4f} bar/min"
    ]
    volume = inputs.maybe("volume")
    if volume is not None:
        ambient = inputs["ambient"]
        leak = volume * rate / ambient
        values["free-air"] = Quantity(leak, "ml/min")
        working.append(
            f"as free air: {show_number(volume)} cm³ × {rate:.4f} bar/min / {show_number(ambient)}"
            f" bar = {leak:.2f} ml/min"
        )
    return FormulaValue(
        values, tuple(working), ("soap the blanking plugs first: they leak more often than the seals",)
    )


FORMULAS: tuple[Formula, ...] = (
    formula(
        "fuel-flow",
        "Fuel flow from a timed catch",
        (
            number("volume", "fuel caught", "ml", 1, 20000),
            number("time", "time it took", "s", 1, 3600),
        ),
        "ml/min",
        _fuel_flow,
        source="definition of flow",
        section="volume over time",
        validity="a steady flow; time at least half a minute, so that a blocked tank vent shows",
    ),
    formula(
        "fuel-need",
        "Fuel flow that an engine needs at full power",
        (
            number("power", "power at the crank", "kW", 0.05, 100),
            number(
                "use",
                "fuel for the work done; small two-strokes 400 to 600 g/kWh",
                "g/kWh",
                150,
                1200,
                default=500,
            ),
            number("density", "density of the fuel", "kg/L", 0.68, 0.9, default=0.74),
            number("margin", "how many times the need the line should pass", "", 1, 10, default=1),
        ),
        "ml/min",
        _fuel_need,
        source="definition of specific fuel consumption",
        section="the default use and density are common practice, no source",
        validity="full power; tickover needs a small share of it",
    ),
    formula(
        "crankcase-leak-rate",
        "Leak of a crankcase under test pressure",
        (
            number("start", "gauge pressure, or depth of vacuum, at the start", "bar", 0.01, 1),
            number("end", "the same at the end", "bar", 0, 1),
            number("time", "time between the two", "min", 0.05, 60),
            number(
                "volume",
                "crankcase volume; left out, no leak as free air is given",
                "cm³",
                10,
                5000,
                required=False,
            ),
            number("ambient", "air pressure on the spot", "bar", 0.5, 1.1, default=1.01325),
        ),
        "bar/min",
        _leak_rate,
        source="gas law at constant temperature",
        section="p V = m R T (any text on thermodynamics, from memory)",
        validity="at most 0.5 bar of test pressure; the mean rate, and real leaks slow as pressure falls",
    ),
)
