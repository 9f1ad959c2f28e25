"""The size of a cylinder: displacement, and compression ratio, whole and trapped."""

from __future__ import annotations

import math
from typing import Annotated

from kickover.formulas.formula import (
    HEYWOOD,
    PRACTICE,
    FigureRangeError,
    FigureUsageError,
    FormulaValue,
    formula,
    number,
    worked,
)
from kickover.formulas.timing import Rod, Stroke, angle_at
from kickover.units import show_number

_GEOMETRY = "chapter 2, geometrical properties of reciprocating engines (from memory)"
Bore = Annotated[float, number("cylinder bore", "mm", 10, 200, figure="bore")]
PortHeight = Annotated[
    float | None,
    number(
        "height of the exhaust port's upper edge above the piston crown at bottom dead centre", "mm", 0, 120
    ),
]
TrappedShare = Annotated[
    float | None, number("share of the stroke that is left when the port closes", "", 0.3, 1)
]
Clearance = Annotated[float, number("volume above the piston at top dead centre, plug in", "cm³", 0.5, 1000)]


def swept_volume(bore_mm: float, stroke_mm: float) -> float:
    """Give the swept volume of one cylinder in cm³."""
    return math.pi / 4 * bore_mm**2 * stroke_mm / 1000


def _swept(bore: float, stroke: float) -> tuple[float, str]:
    volume = swept_volume(bore, stroke)
    return volume, (
        f"swept volume: π/4 × ({show_number(bore)} mm)² × {show_number(stroke)} mm ="
        f" {show_number(volume, 4)} cm³"
    )


@formula(
    "Displacement from bore and stroke",
    "cm³",
    source=HEYWOOD,
    section=_GEOMETRY,
    validity="any piston engine",
)
def _cylinder_displacement(
    bore: Bore, stroke: Stroke, cylinders: Annotated[float, number("number of cylinders", "", 1, 12)] = 1.0
) -> FormulaValue:
    volume, line = _swept(bore, stroke)
    whole = volume * cylinders
    more = () if cylinders == 1 else (f"{cylinders:.0f} cylinders: {show_number(whole, 4)} cm³",)
    return worked({"displacement": (whole, "cm³")}, line, *more)


@formula(
    "Geometric compression ratio from bore, stroke and clearance volume",
    ":1",
    source=HEYWOOD,
    section=_GEOMETRY,
    validity="counted over the full stroke; a two-stroke's gauge reading follows the trapped ratio instead",
)
def _compression_ratio(bore: Bore, stroke: Stroke, clearance: Clearance) -> FormulaValue:
    volume, line = _swept(bore, stroke)
    value = (volume + clearance) / clearance
    return worked(
        {"ratio": (value, ":1")},
        line,
        f"ratio: ({volume:.2f} + {clearance:.2f}) / {clearance:.2f} = {value:.2f}",
    )


@formula(
    "Compression ratio of a two-stroke from where the exhaust port closes",
    ":1",
    source=HEYWOOD,
    section="chapter 6, two-stroke trapped compression ratio (from memory)",
    validity="two-strokes; on small piston-port engines 0.60 to 0.75 of the stroke is usual"
    " (common practice, no source)",
)
def _trapped_ratio(
    bore: Bore,
    stroke: Stroke,
    clearance: Clearance,
    port_height: PortHeight = None,
    trapped_share: TrappedShare = None,
) -> FormulaValue:
    volume, line = _swept(bore, stroke)
    if port_height is not None and trapped_share is None:
        height, whole = show_number(port_height), show_number(stroke)
        if port_height >= stroke:
            raise FigureUsageError(
                f"trapped-ratio: port-height is {height} mm; it must be less than the stroke, {whole} mm"
            )
        share = (stroke - port_height) / stroke
        share_line = f"trapped share: ({whole} − {height}) / {whole} = {share:.3f}"
    elif trapped_share is not None and port_height is None:
        share, share_line = trapped_share, f"trapped share, as given: {trapped_share:.3f}"
    else:
        raise FigureUsageError("trapped-ratio: give either port-height or trapped-share, and not both")
    value = (volume * share + clearance) / clearance
    return worked(
        {"ratio": (value, ":1"), "trapped-share": (share, "")},
        line,
        share_line,
        f"trapped ratio: ({share:.3f} × {volume:.2f} + {clearance:.2f}) / {clearance:.2f} = {value:.2f}",
    )


@formula(
    "Mean piston speed",
    "m/s",
    source=f"definition, {HEYWOOD}",
    section="chapter 2, mean piston speed (from memory)",
    validity="small engines live long under about 10 m/s, common practice, no source",
)
def _piston_speed(
    stroke: Stroke,
    rpm: Annotated[float, number("crankshaft speed", "rpm", 100, 20000, figure="cruise-speed")],
) -> FormulaValue:
    speed = 2 * stroke / 1000 * rpm / 60
    return worked(
        {"speed": (speed, "m/s")},
        f"2 × {show_number(stroke)} mm × {show_number(rpm)} / 60 = {show_number(speed)} m/s",
    )


@formula(
    "Degrees for which a two-stroke port is open",
    "°",
    source=f"slider-crank geometry, {HEYWOOD}",
    section="chapter 2 (from memory)",
    validity="a port that the piston's crown opens, no piston pin offset",
)
def _port_timing(
    edge: Annotated[float, number("port's upper edge below the crown at top dead centre", "mm", 1, 150)],
    stroke: Stroke,
    rod: Rod,
) -> FormulaValue:
    if rod <= stroke / 2 or edge >= stroke:
        raise FigureRangeError(
            f"port-timing: edge {show_number(edge)} mm must lie within the stroke, {show_number(stroke)} mm,"
            " and the rod be longer than half of it"
        )
    opens = angle_at(edge, stroke, rod)
    return worked(
        {"duration": (360 - 2 * opens, "°"), "opens": (opens, "°")},
        f"opens {show_number(opens)}° after top dead centre",
        f"open for 360° − 2 × {show_number(opens)}° = {show_number(360 - 2 * opens)}°",
    )


@formula(
    "Least end gap of a piston ring",
    "mm",
    source=PRACTICE,
    section="four thousandths of the bore for air-cooled iron",
    validity="the ring square in the bore, where it is least worn; the maker's figure comes first",
)
def _ring_end_gap(
    bore: Bore, share: Annotated[float, number("gap per bore, in thousandths", "", 2, 8)] = 4.0
) -> FormulaValue:
    gap = bore * share / 1000
    return worked(
        {"gap": (gap, "mm")},
        f"{show_number(bore)} mm × {show_number(share)} / 1000 = {show_number(gap)} mm",
        notes=("too small a gap seizes the engine when hot; too large only leaks a little",),
    )


@formula(
    "Clearance between piston and head's edge from a crushed solder wire",
    "mm",
    source=PRACTICE,
    section="solder on both sides above the pin, averaged",
    validity="small two-strokes: about 0.6 to 1.2 mm",
)
def _squish(
    solder: Annotated[float, number("thickness of the crushed solder", "mm", 0.1, 5)],
    gasket: Annotated[float, number("change of base or head gasket, thicker counts up", "mm", -2, 2)] = 0.0,
) -> FormulaValue:
    total = solder + gasket
    return worked(
        {"clearance": (total, "mm")},
        f"{show_number(solder)} mm + {show_number(gasket)} mm = {show_number(total)} mm",
    )
