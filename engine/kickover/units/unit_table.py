"""The table of units: one row a unit, with its exact size and the ways people spell it.

Sizes are exact by definition (NIST SP 811, appendix B; NIST Handbook 44, appendix C) except the
conventional columns of mercury and water, which SP 811 defines by convention, and the radian.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit of one dimension.

    `size` is the exact number of the dimension's first-listed unit in one of this; `zero` is where its
    zero lies on that unit's scale (temperatures only). `twin` is the unit of the other system that is
    printed beside it. `spoken` are spellings that mean this unit only where its dimension is expected
    ("90 pounds" of compression).
    """

    symbol: str
    dimension: str
    size: Fraction
    spellings: tuple[str, ...] = ()
    spoken: tuple[str, ...] = ()
    twin: str | None = None
    metric: bool = True
    zero: Fraction = Fraction(0)


INCH_MM = Fraction("25.4")
POUND_KG = Fraction("0.45359237")
GRAVITY = Fraction("9.80665")
POUND_FORCE_N = POUND_KG * GRAVITY
FOOT_M = Fraction("0.3048")
PSI_BAR = POUND_FORCE_N / Fraction("0.0254") ** 2 / 100_000
US_GALLON_ML = Fraction("3785.411784")
IMPERIAL_GALLON_ML = Fraction("4546.09")
MILE_KM = Fraction("1.609344")
RADIAN_DEG = Fraction(180 / math.pi)
RADIAN_PER_S_RPM = Fraction(30 / math.pi)


def _row(
    symbol: str,
    size: Fraction | int | str,
    spellings: str = "",
    *,
    spoken: str = "",
    twin: str | None = None,
    metric: bool = True,
    zero: Fraction | int | str = 0,
) -> Unit:
    words = tuple(spellings.split()), tuple(spoken.split())
    return Unit(symbol, "", Fraction(size), *words, twin, metric, Fraction(zero))


def _us(symbol: str, size: Fraction | int | str, spellings: str, twin: str, spoken: str = "") -> Unit:
    return _row(symbol, size, spellings, spoken=spoken, twin=twin, metric=False)


# Spellings are written as `units.spelling_key` leaves them: no spaces, dots or hyphens, and `u` for micro.
_ROWS = {
    "pressure": (
        _row("bar", 1, "bars barg", twin="psi"),
        _row("mbar", "0.001", "millibar millibars", twin="psi"),
        _row("hPa", "0.001", "hpa hectopascal"),
        _row("kPa", "0.01", "kpa kilopascal", twin="psi"),
        _row("MPa", 10, "mpa megapascal N/mm2", twin="psi"),
        _row("Pa", "0.00001", "pa pascal"),
        _us("psi", PSI_BAR, "psig lb/in2 lbf/in2 lbs/in2 poundspersquareinch", "bar", "lb lbs pound pounds"),
        _row("kgf/cm²", GRAVITY / 10, "kgf/cm2 kg/cm2 kgcm2 at", spoken="kg kgf kilo kilos", twin="psi"),
        _row("atm", "1.01325", "atmosphere atmospheres", twin="psi"),
        _row("Torr", Fraction("1.01325") / 760, "torr"),
        _row("mmHg", "0.00133322387415", "mmhg"),
        _us("inHg", Fraction("0.0338638815789"), "inhg", "kPa"),
        _row("mmH2O", GRAVITY / 100_000, "mmh2o mmwg"),
        _us("inH2O", Fraction("0.00249088908333"), "inh2o inwg", "kPa"),
    ),
    "pressure-rate": (
        _row("bar/min", 1, "", twin="psi/min"),
        _row("mbar/min", "0.001", "", twin="psi/min"),
        _row("kPa/min", "0.01", "", twin="psi/min"),
        _us("psi/min", PSI_BAR, "", "bar/min"),
    ),
    "resistance": (
        _row("Ω", 1, "ohm ohms R", spoken="r"),
        _row("mΩ", "0.001", "mohm mohms milliohm milliohms"),
        _row("kΩ", 1000, "kohm kohms kiloohm kilohm kiloohms kilohms", spoken="k K"),
        _row("MΩ", 1_000_000, "Mohm Mohms megaohm megohm megaohms megohms", spoken="M meg"),
    ),
    "voltage": (
        _row("V", 1, "volt volts Vdc Vac"),
        _row("mV", "0.001", "millivolt millivolts"),
        _row("kV", 1000, "kilovolt kilovolts"),
    ),
    "current": (
        _row("A", 1, "amp amps ampere amperes"),
        _row("mA", "0.001", "milliamp milliamps"),
        _row("µA", "0.000001", "microamp microamps"),
    ),
    "power": (
        _row("kW", 1, "kilowatt kilowatts", twin="hp"),
        _row("W", "0.001", "watt watts", twin="hp"),
        _us("hp", Fraction(550) * POUND_FORCE_N * FOOT_M / 1000, "bhp horsepower", "kW"),
        _row("PS", Fraction(75) * GRAVITY / 1000, "ps metrichorsepower", spoken="cv CV", twin="hp"),
    ),
    "capacitance": (
        _row("µF", 1, "microfarad microfarads mfd", spoken="u"),
        _row("nF", "0.001", "nanofarad nanofarads", spoken="n"),
        _row("pF", "0.000001", "picofarad picofarads", spoken="p"),
        _row("farad", 1_000_000, "farads"),
    ),
    "length": (
        _row("mm", 1, "millimetre millimetres millimeter millimeters", twin="in"),
        _row("cm", 10, "centimetre centimetres centimeter centimeters", twin="in"),
        _row("m", 1000, "metre metres meter meters", twin="ft"),
        _row("km", 1_000_000, "kilometre kilometres kilometer kilometers", twin="mi"),
        _row("µm", "0.001", "micron microns micrometre micrometres", twin="in"),
        _us("in", INCH_MM, 'inch inches " ″', "mm"),
        _us("thou", INCH_MM / 1000, "thous mil mils", "mm"),
        _us("ft", FOOT_M * 1000, "foot feet '", "m"),
        _us("mi", MILE_KM * 1_000_000, "mile miles", "km"),
    ),
    "area": (
        _row("mm²", 1, "mm2 sqmm", twin="in²"),
        _row("cm²", 100, "cm2 sqcm", twin="in²"),
        _us("in²", INCH_MM**2, "in2 sqin", "mm²"),
    ),
    "volume": (
        _row("ml", 1, "mL cc ccm millilitre millilitres milliliter milliliters", twin="US fl oz"),
        _row("cm³", 1, "cm3", twin="in³"),
        _row("L", 1000, "l litre litres liter liters dm3", twin="US gal"),
        _us("US gal", US_GALLON_ML, "usgal gal gallon gallons usgallon usgallons", "L"),
        _us("imp gal", IMPERIAL_GALLON_ML, "impgal ukgal imperialgallon imperialgallons", "L"),
        _row("cl", 10, "cL centilitre centilitres centiliter centiliters"),
        _us("US fl oz", US_GALLON_ML / 128, "usfloz floz fluidounce fluidounces", "ml", "oz ounce ounces"),
        _us("imp fl oz", IMPERIAL_GALLON_ML / 160, "impfloz ukfloz", "ml"),
        _us("US qt", US_GALLON_ML / 4, "usqt qt quart quarts", "L"),
        _us("US pt", US_GALLON_ML / 8, "uspt pint pints", "ml"),
        _us("in³", INCH_MM**3 / 1000, "in3 cuin", "cm³", "ci CI"),
    ),
    "mass": (
        _row("g", 1, "gram grams gramme grammes", twin="oz"),
        _row("kg", 1000, "kilogram kilograms kilo kilos", twin="lb"),
        _row("mg", "0.001", "milligram milligrams"),
        _us("oz", POUND_KG * 1000 / 16, "ounce ounces", "g"),
        _us("lb", POUND_KG * 1000, "lbs pound pounds", "kg"),
    ),
    "time": (
        _row("min", 1, "mins minute minutes", spoken="m ′"),
        _row("s", Fraction(1, 60), "sec secs second seconds", spoken='″ "'),
        _row("ms", Fraction(1, 60_000), "millisecond milliseconds"),
        _row("h", 60, "hr hrs hour hours"),
        _row("d", 1440, "day days"),
    ),
    "angle": (
        _row("°", 1, "deg degs"),
        _row("rad", RADIAN_DEG, "radian radians"),
        _row("turn", 360, "turns rev revs revolution revolutions"),
    ),
    "engine-speed": (
        _row("rpm", 1, "r/min rev/min revs/min 1/min min1 /min", spoken="rev revs"),
        _row("rad/s", RADIAN_PER_S_RPM, "rads"),
    ),
    "frequency": (_row("Hz", 1, "hertz /s 1/s"), _row("kHz", 1000, "kilohertz")),
    "speed": (
        _row("km/h", 1, "kph kmh kmph", twin="mph"),
        _row("m/s", Fraction("3.6"), "mps", twin="ft/s"),
        _us("mph", MILE_KM, "mi/h miles/h miles/hour", "km/h"),
        _us("ft/s", FOOT_M * Fraction("3.6"), "fps", "m/s"),
    ),
    "temperature": (
        _row("°C", 1, "degC C celsius degcelsius centigrade", spoken="deg degs", twin="°F"),
        _row("K", 1, "kelvin kelvins degK", zero="-273.15"),
        replace(_us("°F", Fraction(5, 9), "degF F fahrenheit degfahrenheit", "°C"), zero=Fraction(-160, 9)),
    ),
    "temperature-difference": (
        _row("Δ°C", 1, "ΔdegC ΔC ΔK deltadegC deltaC deltaK", spoken="K C degC deg kelvin", twin="Δ°F"),
        _us("Δ°F", Fraction(5, 9), "ΔdegF ΔF deltadegF deltaF", "Δ°C", "F degF"),
    ),
    "torque": (
        _row("N·m", 1, "Nm newtonmetre newtonmetres newtonmeter newtonmeters", twin="ft·lb"),
        _row("N·cm", "0.01", "Ncm", twin="in·lb"),
        _row("kgf·m", GRAVITY, "kgfm kgm mkg mkp kpm", twin="ft·lb"),
        _row("kgf·cm", GRAVITY / 100, "kgfcm kgcm cmkg", twin="in·lb"),
        _us("ft·lb", POUND_FORCE_N * FOOT_M, "ftlb ftlbs lbft lbsft lbfft ftlbf footpounds", "N·m", "lb lbs"),
        _us("in·lb", POUND_FORCE_N * FOOT_M / 12, "inlb inlbs lbin lbfin inlbf inchpounds", "N·m"),
    ),
    "force": (
        _row("N", 1, "newton newtons", twin="lbf"),
        _row("kN", 1000, "kilonewton kilonewtons", twin="lbf"),
        _row("kgf", GRAVITY, "kp", spoken="kg", twin="lbf"),
        _us("lbf", POUND_FORCE_N, "poundforce", "N", "lb lbs pound pounds"),
    ),
    "stiffness": (
        _row("N/mm", 1, "kN/m", twin="lbf/in"),
        _us("lbf/in", POUND_FORCE_N / INCH_MM, "lb/in lbs/in", "N/mm"),
    ),
    "flow": (
        _row("ml/min", 1, "mL/min cc/min cm3/min", twin="US fl oz/min"),
        _row("ml/s", 60, "mL/s cc/s", twin="US fl oz/min"),
        _row("L/min", 1000, "l/min lpm", twin="US gal/h"),
        _row("L/h", Fraction(1000, 60), "l/h l/hr", twin="US gal/h"),
        _us("US gal/h", US_GALLON_ML / 60, "usgal/h gal/h gph gal/hr", "L/h"),
        _us("US fl oz/min", US_GALLON_ML / 128, "usfloz/min floz/min oz/min", "ml/min"),
    ),
    "fuel-use": (
        _row("g/kWh", 1, "g/kwh", twin="lb/hp·h"),
        _us("lb/hp·h", POUND_KG * 1000 / (Fraction(550) * POUND_FORCE_N * FOOT_M / 1000), "lb/hphr", "g/kWh"),
    ),
    "acceleration": (
        _row("m/s²", 1, "m/s2 m/s/s ms2"),
        _row("gₙ", GRAVITY, "gn gee gees gforce", spoken="g G"),
    ),
    "density": (
        _row("kg/m³", 1, "kg/m3", twin="lb/ft³"),
        _row("g/cm³", 1000, "g/cm3 g/ml g/cc"),
        _row("kg/L", 1000, "kg/l"),
        _us("lb/ft³", POUND_KG / FOOT_M**3, "lb/ft3", "kg/m³"),
    ),
    "ratio": (
        _row("", 1, ""),
        _row(":1", 1, "to1"),
        _row("%", "0.01", "percent pct"),
        _row("ml/L", "0.001", "mL/L ml/l cc/l cc/L"),
    ),
}

UNITS: dict[str, Unit] = {
    unit.symbol: replace(unit, dimension=dimension) for dimension, units in _ROWS.items() for unit in units
}
