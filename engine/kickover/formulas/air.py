"""Air at an altitude and a temperature: pressure, density, and density against another place.

Heights are taken as geopotential; over the heights where engines are ridden the difference from metres
on the map is under one part in a thousand. Air is taken as dry.
"""

from __future__ import annotations

from kickover.formulas.formula import Formula, FormulaValue, Inputs, Parameter, formula, number
from kickover.units import Quantity, show_number

SEA_LEVEL_HPA = 1013.25
SEA_LEVEL_K = 288.15
LAPSE_K_PER_M = 0.0065
GRAVITY = 9.80665
GAS_CONSTANT = 287.05287
SEA_LEVEL_DENSITY = 1.225
CELSIUS_ZERO_K = 273.15
EXPONENT = GRAVITY / (GAS_CONSTANT * LAPSE_K_PER_M)

STANDARD = "ISO 2533 Standard Atmosphere"
TROPOSPHERE = "troposphere, constants and equations (from memory)"

ALTITUDE = number("altitude", "height above sea level", "m", -500, 11000, default=0.0, figure="altitude")
TEMPERATURE = number(
    "temperature",
    "air temperature; left out, the standard one for the altitude",
    "°C",
    -60,
    60,
    required=False,
)
STATION_PRESSURE = number(
    "pressure",
    "air pressure on the spot, not a forecast reduced to sea level; left out, the standard one for"
    " the altitude",
    "hPa",
    200,
    1100,
    required=False,
)
REFERENCE_ALTITUDE = number(
    "reference-altitude", "height of the place to compare with", "m", -500, 11000, default=0.0
)
REFERENCE_TEMPERATURE = number(
    "reference-temperature",
    "temperature at the place to compare with; left out, the standard one for its height",
    "°C",
    -60,
    60,
    required=False,
)
COMPARED: tuple[Parameter, ...] = (
    ALTITUDE,
    TEMPERATURE,
    STATION_PRESSURE,
    REFERENCE_ALTITUDE,
    REFERENCE_TEMPERATURE,
)


def standard_temperature(altitude_m: float) -> float:
    """Give the standard air temperature in K at a height in m, up to 11 000 m (ISO 2533)."""
    return SEA_LEVEL_K - LAPSE_K_PER_M * altitude_m


def standard_pressure(altitude_m: float) -> float:
    """Give the standard air pressure in hPa at a height in m, up to 11 000 m (ISO 2533)."""
    return float(SEA_LEVEL_HPA * (standard_temperature(altitude_m) / SEA_LEVEL_K) ** EXPONENT)


def density(pressure_hpa: float, temperature_k: float) -> float:
    """Give the density of dry air in kg/m³ (ideal gas, ISO 2533 gas constant)."""
    return pressure_hpa * 100 / (GAS_CONSTANT * temperature_k)


def station_pressure(inputs: Inputs) -> tuple[float, str]:
    """Give the air pressure in hPa from `altitude` or a given `pressure`, with a line of working."""
    given = inputs.maybe("pressure")
    if given is not None:
        return given, f"air pressure on the spot, as given: {show_number(given, 5)} hPa"
    altitude = inputs["altitude"]
    pressure = standard_pressure(altitude)
    return pressure, (
        f"air pressure at {show_number(altitude)} m: {SEA_LEVEL_HPA} hPa"
        f" × ((288.15 − 0.0065 × {show_number(altitude)}) / 288.15)^{EXPONENT:.4f} = {pressure:.2f} hPa"
    )


def station_density(inputs: Inputs) -> tuple[float, tuple[str, ...]]:
    """Give the air density in kg/m³ here, with lines of working."""
    pressure, line = station_pressure(inputs)
    given = inputs.maybe("temperature")
    kelvin = standard_temperature(inputs["altitude"]) if given is None else given + CELSIUS_ZERO_K
    value = density(pressure, kelvin)
    return value, (
        line,
        f"density: {pressure * 100:.0f} Pa / ({GAS_CONSTANT} × {kelvin:.2f} K) = {value:.4f} kg/m³",
    )


def density_ratio(inputs: Inputs) -> tuple[float, tuple[str, ...]]:
    """Give the density here over the density at the reference place, with lines of working."""
    here, lines = station_density(inputs)
    altitude = inputs["reference-altitude"]
    given = inputs.maybe("reference-temperature")
    kelvin = standard_temperature(altitude) if given is None else given + CELSIUS_ZERO_K
    there = density(standard_pressure(altitude), kelvin)
    return here / there, (
        *lines,
        f"density at {show_number(altitude)} m and {kelvin - CELSIUS_ZERO_K:.1f} °C: {there:.4f} kg/m³",
        f"density ratio: {here:.4f} / {there:.4f} = {here / there:.4f}",
    )


def _air_pressure(inputs: Inputs) -> FormulaValue:
    pressure = standard_pressure(inputs["altitude"])
    _, line = station_pressure(inputs)
    kelvin = standard_temperature(inputs["altitude"])
    return FormulaValue(
        {
            "pressure": Quantity(pressure, "hPa"),
            "standard-temperature": Quantity(kelvin - CELSIUS_ZERO_K, "°C"),
        },
        (line,),
        ("weather moves the real pressure by up to about 3 % either way",),
    )


def _air_density(inputs: Inputs) -> FormulaValue:
    value, lines = station_density(inputs)
    return FormulaValue({"density": Quantity(value, "kg/m³")}, lines)


def _density_ratio(inputs: Inputs) -> FormulaValue:
    value, lines = density_ratio(inputs)
    return FormulaValue({"density-ratio": Quantity(value, "")}, lines)


_VALIDITY = "dry air, up to 11 000 m; weather is left out unless pressure and temperature are given"

FORMULAS: tuple[Formula, ...] = (
    formula(
        "air-pressure",
        "Standard air pressure at an altitude",
        (ALTITUDE,),
        "hPa",
        _air_pressure,
        source=STANDARD,
        section=TROPOSPHERE,
        validity=_VALIDITY,
    ),
    formula(
        "air-density",
        "Air density at an altitude and temperature",
        (ALTITUDE, TEMPERATURE, STATION_PRESSURE),
        "kg/m³",
        _air_density,
        source=STANDARD,
        section=TROPOSPHERE,
        validity=_VALIDITY,
    ),
    formula(
        "density-ratio",
        "Air density here against another place, by default standard air at sea level",
        COMPARED,
        "",
        _density_ratio,
        source=STANDARD,
        section=TROPOSPHERE,
        validity=_VALIDITY,
    ),
)
