"""Our own warning triangle, as outlines in points.

A warning triangle after the manner of ISO 7010 W001: an upright equilateral triangle with rounded
corners and a black exclamation mark, drawn here from scratch. Nothing here knows where it is drawn.
Coordinates run right and down from the top left corner of its box.
"""

from __future__ import annotations

from dataclasses import dataclass

Point = tuple[float, float]

_BEND = 0.5523
"""How far the handles of a quarter circle reach, as a share of its radius."""


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
