"""Air at an altitude and a temperature: pressure, density, and density against another place.

Heights are taken as geopotential; over the heights where engines are ridden the difference from metres
on the map is under one part in a thousand. Air is taken as dry.
"""

from __future__ import annotations

from functools import partial
from typing import Annotated

from kickover.formulas.formula import FormulaValue, formula, number, worked
from kickover.units import show_number

SEA_LEVEL_HPA = 1013.25
SEA_LEVEL_K = 288.15
LAPSE_K_PER_M = 0.0065
GRAVITY = 9.80665
GAS_CONSTANT = 287.05287
CELSIUS_ZERO_K = 273.15
EXPONENT = GRAVITY / (GAS_CONSTANT * LAPSE_K_PER_M)
STANDARD = "ISO 2533 Standard Atmosphere"
Altitude = Annotated[float, number("height above sea level", "m", -500, 11000, figure="altitude")]
Temperature = Annotated[
    float | None, number("air temperature; left out, the standard one for the altitude", "°C", -60, 60)
]
StationPressure = Annotated[
    float | None,
    number(
        "air pressure on the spot, not a forecast reduced to sea level; left out, the standard one for"
        " the altitude",
        "hPa",
        200,
        1100,
    ),
]
ReferenceAltitude = Annotated[float, number("height of the place to compare with", "m", -500, 11000)]
ReferenceTemperature = Annotated[
    float | None,
    number(
        "temperature at the place to compare with; left out, the standard one for its height", "°C", -60, 60
    ),
]


def standard_temperature(altitude_m: float) -> float:
    """Give the standard air temperature in K at a height in m, up to 11 000 m (ISO 2533)."""
    return SEA_LEVEL_K - LAPSE_K_PER_M * altitude_m


def standard_pressure(altitude_m: float) -> float:
    """Give the standard air pressure in hPa at a height in m, up to 11 000 m (ISO 2533)."""
    return float(SEA_LEVEL_HPA * (standard_temperature(altitude_m) / SEA_LEVEL_K) ** EXPONENT)


def density(pressure_hpa: float, temperature_k: float) -> float:
    """Give the density of dry air in kg/m³ (ideal gas, ISO 2533 gas constant)."""
    return pressure_hpa * 100 / (GAS_CONSTANT * temperature_k)


def station_pressure(altitude: float, pressure: float | None) -> tuple[float, str]:
    """Give the air pressure in hPa at a height in m, or as given, with a line of working."""
    if pressure is not None:
        return pressure, f"air pressure on the spot, as given: {show_number(pressure, 5)} hPa"
    found, height = standard_pressure(altitude), show_number(altitude)
    return found, (
        f"air pressure at {height} m: {SEA_LEVEL_HPA} hPa"
        f" × ((288.15 − 0.0065 × {height}) / 288.15)^{EXPONENT:.4f} = {found:.2f} hPa"
    )


def station_density(
    altitude: float, temperature: float | None, pressure: float | None
) -> tuple[float, tuple[str, ...]]:
    """Give the air density in kg/m³ at a height in m, with lines of working."""
    hpa, line = station_pressure(altitude, pressure)
    kelvin = _kelvin(altitude, temperature)
    value = density(hpa, kelvin)
    return value, (
        line,
        f"density: {hpa * 100:.0f} Pa / ({GAS_CONSTANT} × {kelvin:.2f} K) = {value:.4f} kg/m³",
    )


def density_ratio(
    altitude: float,
    temperature: float | None,
    pressure: float | None,
    reference_altitude: float,
    reference_temperature: float | None,
) -> tuple[float, tuple[str, ...]]:
    """Give the density here over the density at the reference place, with lines of working."""
    here, lines = station_density(altitude, temperature, pressure)
    kelvin = _kelvin(reference_altitude, reference_temperature)
    there = density(standard_pressure(reference_altitude), kelvin)
    return here / there, (
        *lines,
        f"density at {show_number(reference_altitude)} m and {kelvin - CELSIUS_ZERO_K:.1f} °C:"
        f" {there:.4f} kg/m³",
        f"density ratio: {here:.4f} / {there:.4f} = {here / there:.4f}",
    )


def _kelvin(altitude: float, celsius: float | None) -> float:
    return standard_temperature(altitude) if celsius is None else celsius + CELSIUS_ZERO_K


_standard = partial(
    formula,
    source=STANDARD,
    section="troposphere, constants and equations (from memory)",
    validity="dry air, up to 11 000 m; weather is left out unless pressure and temperature are given",
)


@_standard("Standard air pressure at an altitude", "hPa")
def _air_pressure(altitude: Altitude = 0.0) -> FormulaValue:
    pressure, line = station_pressure(altitude, None)
    kelvin = standard_temperature(altitude)
    return worked(
        {"pressure": (pressure, "hPa"), "standard-temperature": (kelvin - CELSIUS_ZERO_K, "°C")},
        line,
        notes=("weather moves the real pressure by up to about 3 % either way",),
    )


@_standard("Air density at an altitude and temperature", "kg/m³")
def _air_density(
    altitude: Altitude = 0.0, temperature: Temperature = None, pressure: StationPressure = None
) -> FormulaValue:
    value, lines = station_density(altitude, temperature, pressure)
    return worked({"density": (value, "kg/m³")}, *lines)


@_standard("Air density here against another place, by default standard air at sea level", "")
def _density_ratio(
    altitude: Altitude = 0.0,
    temperature: Temperature = None,
    pressure: StationPressure = None,
    reference_altitude: ReferenceAltitude = 0.0,
    reference_temperature: ReferenceTemperature = None,
) -> FormulaValue:
    value, lines = density_ratio(altitude, temperature, pressure, reference_altitude, reference_temperature)
    return worked({"density-ratio": (value, "")}, *lines)
