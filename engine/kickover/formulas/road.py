"""On the road: speed through sprockets and wheel, chain length, stopping distance, range of a tank."""

from __future__ import annotations

import math
from functools import partial
from typing import Annotated

from kickover.formulas.formula import FormulaValue, formula, number, worked
from kickover.units import show_number

Reduction = Annotated[
    float, number("turns of the crank for one turn of the wheel", ":1", 0.5, 100, figure="reduction")
]
Wheel = Annotated[
    float,
    number("rolling diameter of the wheel, tyre and load included", "mm", 100, 1000, figure="wheel-diameter"),
]


def road_speed(rpm: float, reduction: float, wheel_mm: float) -> float:
    """Give the road speed in km/h."""
    return rpm / reduction * math.pi * wheel_mm * 60 / 1e6


def engine_speed(kmh: float, reduction: float, wheel_mm: float) -> float:
    """Give the engine speed in rpm."""
    return kmh * 1e6 / (60 * math.pi * wheel_mm) * reduction


def chain_links(front: float, rear: float, centres_in_pitches: float) -> float:
    """Give the links of a chain over two sprockets, not yet rounded, their centres counted in pitches."""
    return (
        2 * centres_in_pitches
        + (front + rear) / 2
        + ((rear - front) / (2 * math.pi)) ** 2 / centres_in_pitches
    )


FrontTeeth = Annotated[float, number("teeth of the driving sprocket", "", 6, 60)]
RearTeeth = Annotated[float, number("teeth of the driven sprocket", "", 6, 120)]
Deceleration = Annotated[
    float, number("braking, in m/s²; 6.6 a good brake on dry road, 3 one wheel or wet", "", 0.5, 10)
]

_rolling = partial(
    formula,
    source="geometry of a rolling wheel",
    section="speed = turns × circumference, by definition",
    validity="no slip of clutch, belt, friction roller or tyre",
)


@_rolling("Road speed at an engine speed", "km/h")
def _road_speed(
    rpm: Annotated[float, number("crankshaft speed", "rpm", 10, 20000, figure="cruise-speed")],
    reduction: Reduction,
    wheel: Wheel,
) -> FormulaValue:
    speed = road_speed(rpm, reduction, wheel)
    turns = rpm / reduction
    return worked(
        {"speed": (speed, "km/h"), "wheel-speed": (turns, "rpm"), "wheel-frequency": (turns / 60, "Hz")},
        f"wheel: {show_number(rpm)} rpm / {show_number(reduction)} = {show_number(turns)} rpm",
        f"speed: {show_number(turns)} rpm × π × {show_number(wheel)} mm = {show_number(speed)} km/h",
    )


@_rolling("Engine speed at a road speed", "rpm")
def _rpm_for_speed(
    speed: Annotated[float, number("road speed", "km/h", 1, 150)], reduction: Reduction, wheel: Wheel
) -> FormulaValue:
    rpm = engine_speed(speed, reduction, wheel)
    turns = rpm / reduction
    return worked(
        {"rpm": (rpm, "rpm"), "wheel-speed": (turns, "rpm")},
        f"wheel: {show_number(speed)} km/h / (π × {show_number(wheel)} mm) = {show_number(turns)} rpm",
        f"engine: {show_number(turns)} rpm × {show_number(reduction)} = {show_number(rpm)} rpm",
    )


@formula(
    "Reduction from the teeth of two sprockets",
    ":1",
    source="definition of a gear ratio",
    section="teeth driven over teeth driving",
    validity="chain or toothed belt; a belt on smooth pulleys or a friction roller slips a little",
)
def _sprocket_reduction(
    front: FrontTeeth,
    rear: RearTeeth,
    primary: Annotated[float, number("reduction before the chain, 1 for none", ":1", 0.5, 50)] = 1.0,
) -> FormulaValue:
    total = primary * rear / front
    return worked(
        {"reduction": (total, ":1")},
        f"{show_number(primary)} × {show_number(rear)} / {show_number(front)}"
        f" = {show_number(total)} turns of the crank for one of the wheel",
    )


@formula(
    "Links of a chain over two sprockets",
    "",
    source="ISO 606 and ASME B29.1, roller chains",
    section="length of chain for two sprockets (from memory)",
    validity="two sprockets, no tensioner; leave 1 to 2 % of the span as slack",
)
def _chain_length(
    front: FrontTeeth,
    rear: RearTeeth,
    centres: Annotated[float, number("distance between the shafts", "mm", 50, 2000)],
    pitch: Annotated[float, number("pitch of the chain", "mm", 5, 40, figure="chain-pitch")] = 12.7,
) -> FormulaValue:
    spans = centres / pitch
    exact = chain_links(front, rear, spans)
    even = 2 * math.ceil(exact / 2 - 1e-9)
    return worked(
        {"links": (float(even), ""), "length": (even * pitch, "mm"), "unrounded": (exact, "")},
        f"centres: {show_number(centres)} mm / {show_number(pitch)} mm = {show_number(spans)} pitches",
        f"links: 2 × {show_number(spans)} + ({show_number(front)} + {show_number(rear)}) / 2"
        f" + (({show_number(rear)} − {show_number(front)}) / 2π)² / {show_number(spans)}"
        f" = {show_number(exact)}, rounded up to {even}",
        notes=("an odd count needs a cranked link, which is weaker; take the even one",),
    )


@formula(
    "Distance to stop from a speed",
    "m",
    source="uniform deceleration, any textbook of mechanics; defaults after The Highway Code, rule 126",
    section="s = v t + v² / 2a",
    validity="level road, brakes that hold; the code's distances are for cars",
)
def _stopping_distance(
    speed: Annotated[float, number("road speed", "km/h", 1, 120)],
    reaction: Annotated[float, number("time until the brakes bite", "s", 0.2, 3)] = 0.67,
    deceleration: Deceleration = 6.6,
) -> FormulaValue:
    metres = speed / 3.6
    rolled, braked, pace = metres * reaction, metres**2 / (2 * deceleration), show_number(metres)
    return worked(
        {"distance": (rolled + braked, "m"), "before-braking": (rolled, "m"), "braking": (braked, "m")},
        f"before braking: {pace} m/s × {show_number(reaction)} s = {show_number(rolled)} m",
        f"braking: {pace}² / (2 × {show_number(deceleration)}) = {show_number(braked)} m",
        notes=("wet, loose or worn: half the deceleration, twice the braking distance",),
    )


@formula(
    "How far a tank goes",
    "km",
    source="definition of consumption",
    section="tank over consumption",
    validity="the consumption of such rides as are meant",
)
def _tank_range(
    tank: Annotated[float, number("fuel in the tank", "L", 0.1, 30)],
    consumption: Annotated[float, number("litres for 100 km", "L", 0.3, 15)],
) -> FormulaValue:
    distance = tank / consumption * 100
    return worked(
        {"distance": (distance, "km")},
        f"{show_number(tank)} L / {show_number(consumption)} L × 100 km = {show_number(distance)} km",
        notes=("keep a fifth in hand: hills, wind and a reserve that never quite drains",),
    )
