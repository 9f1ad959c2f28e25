"""The symbols of a flowchart (ISO 5807) and our own warning triangle, as outlines in points.

A warning triangle after the manner of ISO 7010 W001: an upright equilateral triangle with rounded
corners and a black exclamation mark, drawn here from scratch. Nothing here knows where it is drawn.
Coordinates run right and down from the top left corner of the symbol's box.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from kickover.documents.charts.chart import NodeKind

Point = tuple[float, float]

_BEND = 0.5523
"""How far the handles of a quarter circle reach, as a share of its radius."""


class Symbol(StrEnum):
    """The symbols of ISO 5807 that the charts use."""

    TERMINATOR = "terminator"
    DECISION = "decision"
    PROCESS = "process"
    MANUAL = "manual operation"
    DOCUMENT = "document"
    CONNECTOR = "connector"


SYMBOL_OF: Mapping[NodeKind, Symbol] = {
    NodeKind.CHECK: Symbol.DECISION,
    NodeKind.PROOF: Symbol.DECISION,
    NodeKind.REPAIR: Symbol.PROCESS,
    NodeKind.SETUP: Symbol.MANUAL,
    NodeKind.GIVE_UP: Symbol.TERMINATOR,
    NodeKind.LIST: Symbol.DOCUMENT,
}
"""The symbol in which each kind of node is drawn."""


@dataclass(frozen=True, slots=True)
class PathMove:
    """One stroke of an outline: a straight line to `to`, or a curve with two handles."""

    to: Point
    handles: tuple[Point, Point] | None = None


@dataclass(frozen=True, slots=True)
class Outline:
    """A closed outline."""

    start: Point
    moves: tuple[PathMove, ...]

    def points(self) -> tuple[Point, ...]:
        """The corners and ends of its strokes, without the handles."""
        return (self.start, *(move.to for move in self.moves))


def outline(symbol: Symbol, width: float, height: float) -> Outline:
    """The outline of `symbol` filling a box of `width` by `height`."""
    match symbol:
        case Symbol.PROCESS:
            return _polygon((0, 0), (width, 0), (width, height), (0, height))
        case Symbol.DECISION:
            return _polygon((width / 2, 0), (width, height / 2), (width / 2, height), (0, height / 2))
        case Symbol.MANUAL:
            slant = min(MANUAL_SLANT, width / 4)
            return _polygon((0, 0), (width, 0), (width - slant, height), (slant, height))
        case Symbol.TERMINATOR:
            return _rounded(width, height, min(width, height) / 2)
        case Symbol.CONNECTOR:
            return _rounded(width, height, min(width, height) / 2)
        case Symbol.DOCUMENT:
            return _document(width, height)


MANUAL_SLANT = 12.0
"""How far each side of the manual operation leans in, in points."""


def _polygon(*points: Point) -> Outline:
    return Outline(points[0], tuple(PathMove(point) for point in points[1:]))


def _rounded(width: float, height: float, radius: float) -> Outline:
    hold = radius * (1 - _BEND)
    right, low = width - radius, height - radius
    return Outline(
        (radius, 0),
        (
            PathMove((right, 0)),
            PathMove((width, radius), ((width - hold, 0), (width, hold))),
            PathMove((width, low)),
            PathMove((right, height), ((width, height - hold), (width - hold, height))),
            PathMove((radius, height)),
            PathMove((0, low), ((hold, height), (0, height - hold))),
            PathMove((0, radius)),
            PathMove((radius, 0), ((0, hold), (hold, 0))),
        ),
    )


def _document(width: float, height: float) -> Outline:
    wave = height * 0.16
    foot = height - wave
    return Outline(
        (0, 0),
        (
            PathMove((width, 0)),
            PathMove((width, foot)),
            PathMove((0, foot), ((width * 0.6, foot - 2.2 * wave), (width * 0.4, foot + 2.6 * wave))),
        ),
    )


@dataclass(frozen=True, slots=True)
class WarningSign:
    """The warning triangle: its edge, the bar of the exclamation mark, and the dot under it."""

    edge: Outline
    bar: Outline
    dot: Outline
    edge_width: float


def warning_triangle(size: float) -> WarningSign:
    """The warning triangle in a box `size` wide and 0.88 `size` high."""
    high = size * 0.88
    line = size * 0.075
    inset = line / 2
    corner = size * 0.07
    top, right, left = (size / 2, inset), (size - inset, high - inset), (inset, high - inset)
    head, foot = high * 0.36, high * 0.70
    bar = _polygon((size * 0.445, head), (size * 0.555, head), (size * 0.53, foot), (size * 0.47, foot))
    dot = _shifted(_rounded(size * 0.11, size * 0.11, size * 0.055), size * 0.445, high * 0.755)
    return WarningSign(_soft_triangle(top, right, left, corner), bar, dot, line)


def _soft_triangle(top: Point, right: Point, left: Point, corner: float) -> Outline:
    corners = (top, right, left)
    start = _toward(top, left, corner)
    moves: list[PathMove] = []
    for index, point in enumerate(corners):
        following = corners[(index + 1) % 3]
        after = _toward(point, following, corner)
        moves.append(PathMove(after, (point, point)))
        moves.append(PathMove(_toward(following, point, corner)))
    return Outline(start, tuple(moves))


def _toward(point: Point, other: Point, distance: float) -> Point:
    length = ((other[0] - point[0]) ** 2 + (other[1] - point[1]) ** 2) ** 0.5
    share = distance / length
    return (point[0] + (other[0] - point[0]) * share, point[1] + (other[1] - point[1]) * share)


def _shifted(shape: Outline, right: float, down: float) -> Outline:
    def move(point: Point) -> Point:
        return (point[0] + right, point[1] + down)

    return Outline(
        move(shape.start),
        tuple(
            PathMove(move(one.to), (move(one.handles[0]), move(one.handles[1])) if one.handles else None)
            for one in shape.moves
        ),
    )


def svg_path(shape: Outline) -> str:
    """The outline as the `d` of an SVG path."""
    parts = [f"M{_pair(shape.start)}"]
    for move in shape.moves:
        if move.handles:
            parts.append(f"C{_pair(move.handles[0])} {_pair(move.handles[1])} {_pair(move.to)}")
        else:
            parts.append(f"L{_pair(move.to)}")
    return "".join((*parts, "Z"))


def _pair(point: Point) -> str:
    return f"{point[0]:.2f} {point[1]:.2f}"
