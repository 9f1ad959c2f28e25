"""What an engine burns: jets for thinner air, oil for two-stroke fuel, fuel that flows, air that leaks in.

Through a carburettor the air flow goes with √(density), the fuel flow with the jet's area, so the jet's
area must follow the square root of the density ratio and its diameter the fourth root.

A mixing ratio of 40:1 is 40 parts of petrol to 1 part of oil, by volume.
"""

from __future__ import annotations

import math
from functools import partial
from typing import Annotated

from kickover.formulas.air import (
    Altitude,
    ReferenceAltitude,
    ReferenceTemperature,
    StationPressure,
    Temperature,
    density_ratio,
)
from kickover.formulas.formula import HEYWOOD, FigureRangeError, FormulaValue, formula, number, worked
from kickover.units import show_number

_METERED = "the metered main jet; slides, needles and idle circuits follow only roughly"
Jet = Annotated[float, number("bore of the jet that is right now", "mm", 0.2, 4, figure="main-jet")]
Step = Annotated[float, number("step between the jets or drills at hand", "mm", 0.005, 0.2)]


def jet_for_ratio(jet_mm: float, density_ratio: float) -> float:
    """Give the jet bore in mm that keeps the mixture at another air density: fourth root of the ratio."""
    return float(jet_mm * density_ratio**0.25)


def jet_for_percent(jet_mm: float, percent: float) -> float:
    """Give the jet bore in mm that passes `percent` more fuel: square root of the area."""
    return jet_mm * math.sqrt(1 + percent / 100)


def percent_rich(density_ratio: float) -> float:
    """Give how many percent richer the mixture gets, jet unchanged, when the density falls to this ratio."""
    return float((density_ratio**-0.5 - 1) * 100)


def _bracketed(diameter: float, step: float) -> tuple[dict[str, tuple[float, str]], str]:
    """The bore with the sizes at hand around it, and a line of working."""
    small = round(math.floor(diameter / step + 1e-9) * step, 6)
    large = round(math.ceil(diameter / step - 1e-9) * step, 6)
    return (
        {"diameter": (diameter, "mm"), "next-smaller": (small, "mm"), "next-larger": (large, "mm")},
        f"sizes at hand around it: {show_number(small, 4)} mm and {show_number(large, 4)} mm",
    )


_carburettor = partial(
    formula,
    source=HEYWOOD,
    section="chapter 7, carburettor under changes of altitude (from memory)",
    validity=_METERED,
)


@_carburettor("Main jet for another altitude or temperature", "mm")
def _jet_for_density(
    jet: Jet,
    altitude: Altitude = 0.0,
    temperature: Temperature = None,
    pressure: StationPressure = None,
    reference_altitude: ReferenceAltitude = 0.0,
    reference_temperature: ReferenceTemperature = None,
    step: Step = 0.02,
) -> FormulaValue:
    sigma, lines = density_ratio(altitude, temperature, pressure, reference_altitude, reference_temperature)
    diameter = jet_for_ratio(jet, sigma)
    values, sizes = _bracketed(diameter, step)
    return worked(
        {**values, "area-ratio": (math.sqrt(sigma), "")},
        *lines,
        f"jet area goes with √{sigma:.4f} = {math.sqrt(sigma):.4f}",
        f"jet bore: {show_number(jet, 4)} mm × {sigma:.4f}^(1/4) = {diameter:.3f} mm",
        sizes,
        notes=(
            "fit the larger jet again before riding down: a jet sized for height runs lean below",
            "when between two sizes, start with the larger: too lean can seize a two-stroke",
        ),
    )


@formula(
    "Main jet for a mixture some percent richer or leaner",
    "mm",
    source=HEYWOOD,
    section="chapter 7, flow through the fuel orifice (from memory)",
    validity=_METERED,
)
def _jet_for_percent(
    jet: Jet,
    percent: Annotated[float, number("change of fuel flow: above zero richer, below leaner", "%", -40, 60)],
    step: Step = 0.02,
) -> FormulaValue:
    diameter = jet_for_percent(jet, percent)
    values, sizes = _bracketed(diameter, step)
    return worked(
        values,
        f"jet bore: {show_number(jet, 4)} mm × √(1 + {show_number(percent)} / 100) = {diameter:.3f} mm",
        sizes,
    )


@_carburettor("How much richer the mixture runs with the jet left alone", "%")
def _mixture_shift(
    altitude: Altitude = 0.0,
    temperature: Temperature = None,
    pressure: StationPressure = None,
    reference_altitude: ReferenceAltitude = 0.0,
    reference_temperature: ReferenceTemperature = None,
) -> FormulaValue:
    sigma, lines = density_ratio(altitude, temperature, pressure, reference_altitude, reference_temperature)
    shift = percent_rich(sigma)
    word = "richer" if shift >= 0 else "leaner"
    return worked(
        {"shift": (shift, "%")},
        *lines,
        f"shift: (1 / √{sigma:.4f} − 1) × 100 = {shift:.1f} %, {word} than at the reference place",
    )


_NEVER_PLAIN = "never run plain petrol in an engine that is oiled by its fuel, not even for a test"


def oil_for(fuel_ml: float, ratio: float) -> float:
    """Give the oil in ml for so much petrol at `ratio` parts to one."""
    return fuel_ml / ratio


def oil_to_add(held_ml: float, held_ratio: float | None, added_ml: float, ratio: float) -> float:
    """Give the oil in ml that brings a topped-up tank to `ratio`; below zero when it is too oily already.

    `held_ml` is what the tank holds, petrol and oil together, at `held_ratio`; None means plain petrol.
    """
    held_oil = 0.0 if held_ratio is None else held_ml / (held_ratio + 1)
    return (held_ml - held_oil + added_ml) / ratio - held_oil


PremixRatio = Annotated[float, number("parts of petrol to one of oil", ":1", 10, 100, figure="premix-ratio")]
AddedRatio = Annotated[float | None, number("its ratio; left out, it is plain petrol", ":1", 10, 200)]
_mixed = partial(
    formula,
    source="arithmetic of the mixing ratio",
    section="volumes by definition; gallon sizes NIST Handbook 44, appendix C (from memory)",
)


@_mixed(
    "Ratio of a tank from what is in it and what is poured on top",
    ":1",
    validity="ratio by volume, both fuels known and well shaken together",
)
def _tank_mix(
    held: Annotated[float, number("mixture in the tank", "L", 0.01, 250)],
    held_ratio: Annotated[float, number("its ratio, parts of petrol to one of oil", ":1", 10, 200)],
    added: Annotated[float, number("fuel poured on top", "L", 0, 250)] = 0.0,
    added_ratio: AddedRatio = None,
) -> FormulaValue:
    held, added = held * 1000, added * 1000
    oil = held / (held_ratio + 1) + (added / (added_ratio + 1) if added_ratio else 0.0)
    petrol = held + added - oil
    ratio = petrol / oil
    working = f"oil: {oil:.1f} ml; petrol: {held:.0f} ml + {added:.0f} ml − {oil:.1f} ml = {petrol:.0f} ml"
    return worked(
        {"mixed-ratio": (ratio, ":1"), "oil": (oil, "ml")},
        working,
        f"ratio: {petrol:.0f} ml / {oil:.1f} ml = {show_number(ratio)}:1",
        notes=(_NEVER_PLAIN,),
    )


@_mixed(
    "Oil for an amount of petrol",
    "ml",
    validity="ratio by volume; take the ratio from the maker of the engine",
)
def _premix(
    ratio: PremixRatio, fuel: Annotated[float, number("petrol to be mixed", "L", 0.05, 250)]
) -> FormulaValue:
    oil = oil_for(fuel * 1000, ratio)
    return worked(
        {"oil": (oil, "ml"), "oil-share": (1000 / ratio, "ml/L")},
        f"oil: {show_number(fuel * 1000)} ml / {show_number(ratio)} = {oil:.1f} ml",
        notes=(_NEVER_PLAIN,),
    )


@_mixed(
    "Oil for a tank that already holds fuel of another mixture",
    "ml",
    validity="ratio by volume, both fuels known; drain a tank whose contents are not",
)
def _premix_top_up(
    *,
    ratio: PremixRatio,
    held: Annotated[float, number("mixture left in the tank", "L", 0, 250)],
    held_ratio: AddedRatio = None,
    added: Annotated[float, number("plain petrol to be added", "L", 0, 250)],
) -> FormulaValue:
    held, added = held * 1000, added * 1000
    oil = oil_to_add(held, held_ratio, added, ratio)
    held_oil = 0.0 if held_ratio is None else held / (held_ratio + 1)
    petrol = held - held_oil + added
    working = (
        f"in the tank: {held_oil:.1f} ml of oil and {held - held_oil:.0f} ml of petrol",
        f"petrol after topping up: {held - held_oil:.0f} ml + {added:.0f} ml = {petrol:.0f} ml",
        f"oil to add: {petrol:.0f} ml / {show_number(ratio)} − {held_oil:.1f} ml = {oil:.1f} ml",
    )
    if oil >= 0:
        values = {"oil": (oil, "ml"), "mixed-ratio": (ratio, ":1")}
        return worked(values, *working, notes=(_NEVER_PLAIN,))
    short = held_oil * ratio - petrol
    mixed = petrol / held_oil
    return worked(
        {"oil": (0, "ml"), "mixed-ratio": (mixed, ":1")},
        *working,
        notes=(
            f"there is more oil than wanted already: add none, and the tank is at {show_number(mixed)}:1",
            f"{show_number(short)} ml more petrol would bring it to {show_number(ratio)}:1",
        ),
    )


Use = Annotated[
    float, number("fuel for the work done; small two-strokes 400 to 600 g/kWh", "g/kWh", 150, 1200)
]
Volume = Annotated[
    float | None, number("crankcase volume; left out, no leak as free air is given", "cm³", 10, 5000)
]


@formula(
    "Fuel flow from a timed catch",
    "ml/min",
    source="definition of flow",
    section="volume over time",
    validity="a steady flow; time at least half a minute, so that a blocked tank vent shows",
)
def _fuel_flow(
    volume: Annotated[float, number("fuel caught", "ml", 1, 20000)],
    time: Annotated[float, number("time it took", "s", 1, 3600)],
) -> FormulaValue:
    rate = volume * 60 / time
    return worked(
        {"flow": (rate, "ml/min")},
        f"flow: {show_number(volume)} ml / {show_number(time)} s × 60 s/min = {show_number(rate)} ml/min",
        notes=("catch the fuel in a closed can, engine cold, nothing that sparks nearby",),
    )


@formula(
    "Fuel flow that an engine needs at full power",
    "ml/min",
    source="definition of specific fuel consumption",
    section="the default use and density are common practice, no source",
    validity="full power; tickover needs a small share of it",
)
def _fuel_need(
    power: Annotated[float, number("power at the crank", "kW", 0.05, 100)],
    use: Use = 500,
    density: Annotated[float, number("density of the fuel", "kg/L", 0.68, 0.9)] = 0.74,
    margin: Annotated[float, number("how many times the need the line should pass", "", 1, 10)] = 1,
) -> FormulaValue:
    burnt = power * use / density / 60
    needed = burnt * margin
    return worked(
        {"flow": (needed, "ml/min"), "burnt": (burnt, "ml/min")},
        f"burnt: {show_number(power)} kW × {show_number(use)} g/kWh / {show_number(density)} kg/L / 60"
        f" = {burnt:.1f} ml/min",
        f"with a margin of {show_number(margin)}: {needed:.1f} ml/min",
    )


@formula(
    "Leak of a crankcase under test pressure",
    "bar/min",
    source="gas law at constant temperature",
    section="p V = m R T (any text on thermodynamics, from memory)",
    validity="at most 0.5 bar of test pressure; the mean rate, and real leaks slow as pressure falls",
)
def _crankcase_leak_rate(
    start: Annotated[float, number("gauge pressure, or depth of vacuum, at the start", "bar", 0.01, 1)],
    end: Annotated[float, number("the same at the end", "bar", 0, 1)],
    time: Annotated[float, number("time between the two", "min", 0.05, 60)],
    volume: Volume = None,
    ambient: Annotated[float, number("air pressure on the spot", "bar", 0.5, 1.1)] = 1.01325,
) -> FormulaValue:
    if end > start:
        raise FigureRangeError(
            f"crankcase-leak-rate: end is {show_number(end)} bar; it holds for values up to the start,"
            f" {show_number(start)} bar"
        )
    rate = (start - end) / time
    values = {"rate": (rate, "bar/min"), "kept": (100 * end / start, "%")}
    working = [
        f"rate: ({show_number(start)} − {show_number(end)}) bar / {show_number(time)} min ="
        f" {rate:.4f} bar/min"
    ]
    if volume is not None:
        leak = volume * rate / ambient
        values["free-air"] = (leak, "ml/min")
        working.append(
            f"as free air: {show_number(volume)} cm³ × {rate:.4f} bar/min / {show_number(ambient)}"
            f" bar = {leak:.2f} ml/min"
        )
    return worked(
        values, *working, notes=("soap the blanking plugs first: they leak more often than the seals",)
    )
