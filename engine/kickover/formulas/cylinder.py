"""The size of a cylinder: displacement, and compression ratio, whole and trapped."""

from __future__ import annotations

import math

from kickover.formulas.formula import FigureUsageError, Formula, FormulaValue, Inputs, formula, number
from kickover.units import Quantity, show_number

_TEXTBOOK = "Heywood, Internal Combustion Engine Fundamentals"
_GEOMETRY = "chapter 2, geometrical properties of reciprocating engines (from memory)"

BORE = number("bore", "cylinder bore", "mm", 10, 200)
STROKE = number("stroke", "piston stroke", "mm", 10, 200)
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
)
