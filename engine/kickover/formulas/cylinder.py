"""The size of a cylinder: displacement, and compression ratio, whole and trapped."""

from __future__ import annotations

import math

from kickover.formulas.formula import (
    FigureRangeError,
    FigureUsageError,
    Formula,
    FormulaValue,
    Inputs,
    formula,
    number,
)
from kickover.formulas.timing import angle_at
from kickover.units import Quantity, show_number

_TEXTBOOK = "Heywood, Internal Combustion Engine Fundamentals"
_GEOMETRY = "chapter 2, geometrical properties of reciprocating engines (from memory)"

BORE = number("bore", "cylinder bore", "mm", 10, 200, figure="bore")
STROKE = number("stroke", "piston stroke", "mm", 10, 200, figure="stroke")
CLEARANCE = number("clearance", "volume above the piston at top dead centre, plug in", "cm³", 0.5, 1000)


def swept_volume(bore_mm: float, stroke_mm: float) -> float:
    """Give the swept volume of one cylinder in cm³."""
    return math.pi / 4 * bore_mm**2 * stroke_mm / 1000


def ratio(trapped_cm3: float, clearance_cm3: float) -> float:
    """Give the compression ratio of a trapped volume above a clearance volume."""
    return (trapped_cm3 + clearance_cm3) / clearance_cm3


def _swept(inputs: Inputs) -> tuple[float, str]:
    bore, stroke = inputs["bore"], inputs["stroke"]
    volume = swept_volume(bore, stroke)
    return volume, (
        f"swept volume: π/4 × ({show_number(bore)} mm)² × {show_number(stroke)} mm ="
        f" {show_number(volume, 4)} cm³"
    )


def _displacement(inputs: Inputs) -> FormulaValue:
    volume, line = _swept(inputs)
    count = inputs["cylinders"]
    whole = volume * count
    working = (line,) if count == 1 else (line, f"{count:.0f} cylinders: {show_number(whole, 4)} cm³")
    return FormulaValue({"displacement": Quantity(whole, "cm³")}, working)


def _compression_ratio(inputs: Inputs) -> FormulaValue:
    volume, line = _swept(inputs)
    clearance = inputs["clearance"]
    value = ratio(volume, clearance)
    return FormulaValue(
        {"ratio": Quantity(value, ":1")},
        (line, f"ratio: ({volume:.2f} + {clearance:.2f}) / {clearance:.2f} = {value:.2f}"),
    )


def _trapped_ratio(inputs: Inputs) -> FormulaValue:
    volume, line = _swept(inputs)
    clearance, stroke = inputs["clearance"], inputs["stroke"]
    height, share = inputs.maybe("port-height"), inputs.maybe("trapped-share")
    if (height is None) == (share is None):
        raise FigureUsageError("trapped-ratio: give either port-height or trapped-share, and not both")
    if height is not None:
        if height >= stroke:
            raise FigureUsageError(
                f"trapped-ratio: port-height is {show_number(height)} mm; it must be less than the stroke,"
                f" {show_number(stroke)} mm"
            )
        share = (stroke - height) / stroke
        share_line = (
            f"trapped share: ({show_number(stroke)} − {show_number(height)}) /"
            f" {show_number(stroke)} = {share:.3f}"
        )
    else:
        assert share is not None
        share_line = f"trapped share, as given: {share:.3f}"
    value = ratio(volume * share, clearance)
    return FormulaValue(
        {"ratio": Quantity(value, ":1"), "trapped-share": Quantity(share, "")},
        (
            line,
            share_line,
            f"trapped ratio: ({share:.3f} × {volume:.2f} + {clearance:.2f}) / {clearance:.2f} = {value:.2f}",
        ),
    )


def _piston_speed(inputs: Inputs) -> FormulaValue:
    stroke, rpm = inputs["stroke"], inputs["rpm"]
    speed = 2 * stroke / 1000 * rpm / 60
    return FormulaValue(
        {"speed": Quantity(speed, "m/s")},
        (f"2 × {show_number(stroke)} mm × {show_number(rpm)} / 60 = {show_number(speed)} m/s",),
    )


def _port_timing(inputs: Inputs) -> FormulaValue:
    edge, stroke, rod = inputs["edge"], inputs["stroke"], inputs["rod"]
    if rod <= stroke / 2 or edge >= stroke:
        raise FigureRangeError(
            f"port-timing: edge {show_number(edge)} mm must lie within the stroke, {show_number(stroke)} mm,"
            " and the rod be longer than half of it"
        )
    opens = angle_at(edge, stroke, rod)
    return FormulaValue(
        {"duration": Quantity(360 - 2 * opens, "°"), "opens": Quantity(opens, "°")},
        (
            f"opens {show_number(opens)}° after top dead centre",
            f"open for 360° − 2 × {show_number(opens)}° = {show_number(360 - 2 * opens)}°",
        ),
    )


def _ring_end_gap(inputs: Inputs) -> FormulaValue:
    bore, share = inputs["bore"], inputs["share"]
    gap = bore * share / 1000
    return FormulaValue(
        {"gap": Quantity(gap, "mm")},
        (f"{show_number(bore)} mm × {show_number(share)} / 1000 = {show_number(gap)} mm",),
        ("too small a gap seizes the engine when hot; too large only leaks a little",),
    )


def _squish(inputs: Inputs) -> FormulaValue:
    solder, gasket = inputs["solder"], inputs["gasket"]
    total = solder + gasket
    return FormulaValue(
        {"clearance": Quantity(total, "mm")},
        (f"{show_number(solder)} mm + {show_number(gasket)} mm = {show_number(total)} mm",),
    )


FORMULAS: tuple[Formula, ...] = (
    formula(
        "cylinder-displacement",
        "Displacement from bore and stroke",
        (BORE, STROKE, number("cylinders", "number of cylinders", "", 1, 12, default=1.0)),
        "cm³",
        _displacement,
        source=_TEXTBOOK,
        section=_GEOMETRY,
        validity="any piston engine",
    ),
    formula(
        "compression-ratio",
        "Geometric compression ratio from bore, stroke and clearance volume",
        (BORE, STROKE, CLEARANCE),
        ":1",
        _compression_ratio,
        source=_TEXTBOOK,
        section=_GEOMETRY,
        validity="counted over the full stroke; a two-stroke's gauge reading follows the trapped"
        " ratio instead",
    ),
    formula(
        "trapped-ratio",
        "Compression ratio of a two-stroke from where the exhaust port closes",
        (
            BORE,
            STROKE,
            CLEARANCE,
            number(
                "port-height",
                "height of the exhaust port's upper edge above the piston crown at bottom dead centre",
                "mm",
                0,
                120,
                required=False,
            ),
            number(
                "trapped-share",
                "share of the stroke that is left when the port closes",
                "",
                0.3,
                1,
                required=False,
            ),
        ),
        ":1",
        _trapped_ratio,
        source=_TEXTBOOK,
        section="chapter 6, two-stroke trapped compression ratio (from memory)",
        validity="two-strokes; on small piston-port engines 0.60 to 0.75 of the stroke is usual"
        " (common practice, no source)",
    ),
    formula(
        "piston-speed",
        "Mean piston speed",
        (STROKE, number("rpm", "crankshaft speed", "rpm", 100, 20000, figure="cruise-speed")),
        "m/s",
        _piston_speed,
        source="definition, Heywood, Internal Combustion Engine Fundamentals",
        section="chapter 2, mean piston speed (from memory)",
        validity="small engines live long under about 10 m/s, common practice, no source",
    ),
    formula(
        "port-timing",
        "Degrees for which a two-stroke port is open",
        (
            number("edge", "port's upper edge below the crown at top dead centre", "mm", 1, 150),
            STROKE,
            number("rod", "connecting rod, centre to centre", "mm", 15, 400, figure="rod-length"),
        ),
        "°",
        _port_timing,
        source="slider-crank geometry, Heywood, Internal Combustion Engine Fundamentals",
        section="chapter 2 (from memory)",
        validity="a port that the piston's crown opens, no piston pin offset",
    ),
    formula(
        "ring-end-gap",
        "Least end gap of a piston ring",
        (
            BORE,
            number("share", "gap per bore, in thousandths", "", 2, 8, default=4.0),
        ),
        "mm",
        _ring_end_gap,
        source="common practice, no source",
        section="four thousandths of the bore for air-cooled iron",
        validity="the ring square in the bore, where it is least worn; the maker's figure comes first",
    ),
    formula(
        "squish",
        "Clearance between piston and head's edge from a crushed solder wire",
        (
            number("solder", "thickness of the crushed solder", "mm", 0.1, 5),
            number("gasket", "change of base or head gasket, thicker counts up", "mm", -2, 2, default=0.0),
        ),
        "mm",
        _squish,
        source="common practice, no source",
        section="solder on both sides above the pin, averaged",
        validity="small two-strokes: about 0.6 to 1.2 mm",
    ),
)
