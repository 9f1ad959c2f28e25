"""On the road: speed through sprockets and wheel, chain length, stopping distance, range of a tank."""

from __future__ import annotations

import math

from kickover.formulas.formula import Formula, FormulaValue, Inputs, formula, number
from kickover.units import Quantity, show_number

_REDUCTION = number(
    "reduction", "turns of the crank for one turn of the wheel", ":1", 0.5, 100, figure="reduction"
)
_WHEEL = number(
    "wheel", "rolling diameter of the wheel, tyre and load included", "mm", 100, 1000, figure="wheel-diameter"
)


def road_speed(rpm: float, reduction: float, wheel_mm: float) -> float:
    """Give the road speed in km/h."""
    return rpm / reduction * math.pi * wheel_mm * 60 / 1e6


def engine_speed(kmh: float, reduction: float, wheel_mm: float) -> float:
    """Give the engine speed in rpm."""
    return kmh * 1e6 / (60 * math.pi * wheel_mm) * reduction


def _road_speed(inputs: Inputs) -> FormulaValue:
    rpm, reduction, wheel = inputs["rpm"], inputs["reduction"], inputs["wheel"]
    speed = road_speed(rpm, reduction, wheel)
    turns = rpm / reduction
    return FormulaValue(
        {
            "speed": Quantity(speed, "km/h"),
            "wheel-speed": Quantity(turns, "rpm"),
            "wheel-frequency": Quantity(turns / 60, "Hz"),
        },
        (
            f"wheel: {show_number(rpm)} rpm / {show_number(reduction)} = {show_number(turns)} rpm",
            f"speed: {show_number(turns)} rpm × π × {show_number(wheel)} mm = {show_number(speed)} km/h",
        ),
    )


def _engine_speed(inputs: Inputs) -> FormulaValue:
    speed, reduction, wheel = inputs["speed"], inputs["reduction"], inputs["wheel"]
    rpm = engine_speed(speed, reduction, wheel)
    turns = rpm / reduction
    return FormulaValue(
        {"rpm": Quantity(rpm, "rpm"), "wheel-speed": Quantity(turns, "rpm")},
        (
            f"wheel: {show_number(speed)} km/h / (π × {show_number(wheel)} mm) = {show_number(turns)} rpm",
            f"engine: {show_number(turns)} rpm × {show_number(reduction)} = {show_number(rpm)} rpm",
        ),
    )


def chain_links(front: float, rear: float, centres_in_pitches: float) -> float:
    """Give the links of a chain over two sprockets, not yet rounded, their centres counted in pitches."""
    return (
        2 * centres_in_pitches
        + (front + rear) / 2
        + ((rear - front) / (2 * math.pi)) ** 2 / centres_in_pitches
    )


def stopping_distances(kmh: float, reaction_s: float, deceleration: float) -> tuple[float, float]:
    """Give the metres rolled before the brakes bite, and those of braking at `deceleration` m/s²."""
    speed = kmh / 3.6
    return speed * reaction_s, speed**2 / (2 * deceleration)


def _reduction(inputs: Inputs) -> FormulaValue:
    primary, driving, driven = inputs["primary"], inputs["front"], inputs["rear"]
    total = primary * driven / driving
    return FormulaValue(
        {"reduction": Quantity(total, ":1")},
        (
            f"{show_number(primary)} × {show_number(driven)} / {show_number(driving)}"
            f" = {show_number(total)} turns of the crank for one of the wheel",
        ),
    )


def _chain_length(inputs: Inputs) -> FormulaValue:
    front, rear, pitch, centres = (inputs[name] for name in ("front", "rear", "pitch", "centres"))
    spans = centres / pitch
    exact = chain_links(front, rear, spans)
    even = 2 * math.ceil(exact / 2 - 1e-9)
    notes = ("an odd count needs a cranked link, which is weaker; take the even one",)
    return FormulaValue(
        {
            "links": Quantity(float(even), ""),
            "length": Quantity(even * pitch, "mm"),
            "unrounded": Quantity(exact, ""),
        },
        (
            f"centres: {show_number(centres)} mm / {show_number(pitch)} mm = {show_number(spans)} pitches",
            f"links: 2 × {show_number(spans)} + ({show_number(front)} + {show_number(rear)}) / 2"
            f" + (({show_number(rear)} − {show_number(front)}) / 2π)² / {show_number(spans)}"
            f" = {show_number(exact)}, rounded up to {even}",
        ),
        notes,
    )


def _stopping_distance(inputs: Inputs) -> FormulaValue:
    speed, reaction, deceleration = inputs["speed"], inputs["reaction"], inputs["deceleration"]
    rolled, braked = stopping_distances(speed, reaction, deceleration)
    pace = show_number(speed / 3.6)
    return FormulaValue(
        {
            "distance": Quantity(rolled + braked, "m"),
            "before-braking": Quantity(rolled, "m"),
            "braking": Quantity(braked, "m"),
        },
        (
            f"before braking: {pace} m/s × {show_number(reaction)} s = {show_number(rolled)} m",
            f"braking: {pace}² / (2 × {show_number(deceleration)}) = {show_number(braked)} m",
        ),
        ("wet, loose or worn: half the deceleration, twice the braking distance",),
    )


def _tank_range(inputs: Inputs) -> FormulaValue:
    tank, consumption = inputs["tank"], inputs["consumption"]
    distance = tank / consumption * 100
    return FormulaValue(
        {"distance": Quantity(distance, "km")},
        (f"{show_number(tank)} L / {show_number(consumption)} L × 100 km = {show_number(distance)} km",),
        ("keep a fifth in hand: hills, wind and a reserve that never quite drains",),
    )


_FRONT = number("front", "teeth of the driving sprocket", "", 6, 60)
_REAR = number("rear", "teeth of the driven sprocket", "", 6, 120)
_SOURCE = "geometry of a rolling wheel"
_SECTION = "speed = turns × circumference, by definition"
_VALIDITY = "no slip of clutch, belt, friction roller or tyre"

FORMULAS: tuple[Formula, ...] = (
    formula(
        "road-speed",
        "Road speed at an engine speed",
        (number("rpm", "crankshaft speed", "rpm", 10, 20000, figure="cruise-speed"), _REDUCTION, _WHEEL),
        "km/h",
        _road_speed,
        source=_SOURCE,
        section=_SECTION,
        validity=_VALIDITY,
    ),
    formula(
        "rpm-for-speed",
        "Engine speed at a road speed",
        (number("speed", "road speed", "km/h", 1, 150), _REDUCTION, _WHEEL),
        "rpm",
        _engine_speed,
        source=_SOURCE,
        section=_SECTION,
        validity=_VALIDITY,
    ),
    formula(
        "sprocket-reduction",
        "Reduction from the teeth of two sprockets",
        (
            _FRONT,
            _REAR,
            number("primary", "reduction before the chain, 1 for none", ":1", 0.5, 50, default=1.0),
        ),
        ":1",
        _reduction,
        source="definition of a gear ratio",
        section="teeth driven over teeth driving",
        validity="chain or toothed belt; a belt on smooth pulleys or a friction roller slips a little",
    ),
    formula(
        "chain-length",
        "Links of a chain over two sprockets",
        (
            _FRONT,
            _REAR,
            number("centres", "distance between the shafts", "mm", 50, 2000),
            number("pitch", "pitch of the chain", "mm", 5, 40, default=12.7, figure="chain-pitch"),
        ),
        "",
        _chain_length,
        source="ISO 606 and ASME B29.1, roller chains",
        section="length of chain for two sprockets (from memory)",
        validity="two sprockets, no tensioner; leave 1 to 2 % of the span as slack",
    ),
    formula(
        "stopping-distance",
        "Distance to stop from a speed",
        (
            number("speed", "road speed", "km/h", 1, 120),
            number("reaction", "time until the brakes bite", "s", 0.2, 3, default=0.67),
            number(
                "deceleration",
                "braking, in m/s²; 6.6 a good brake on dry road, 3 one wheel or wet",
                "",
                0.5,
                10,
                default=6.6,
            ),
        ),
        "m",
        _stopping_distance,
        source="uniform deceleration, any textbook of mechanics; defaults after The Highway Code, rule 126",
        section="s = v t + v² / 2a",
        validity="level road, brakes that hold; the code's distances are for cars",
    ),
    formula(
        "tank-range",
        "How far a tank goes",
        (
            number("tank", "fuel in the tank", "L", 0.1, 30),
            number("consumption", "litres for 100 km", "L", 0.3, 15),
        ),
        "km",
        _tank_range,
        source="definition of consumption",
        section="tank over consumption",
        validity="the consumption of such rides as are meant",
    ),
)
