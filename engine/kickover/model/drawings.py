"""Line drawings of an engine's parts and circuits, with numbered places that steps name.

Coordinates are points, right and down from the top left corner; angles are degrees, clockwise from the right.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

from kickover.core.ids import PlaceId, SymbolId
from kickover.core.problem import SourcePlace
from kickover.model.authored import IN_PLACE, bounds, instead
from kickover.model.conditions import ALWAYS, TraitCondition

Numbers = tuple[float, ...]

RING = 7.0
"""Radius of the ring about a place's number, in points."""


MOST_STROKES = 500
Coordinate = Annotated[float, bounds("", minimum=-10_000, maximum=10_000)]
Point = Annotated[tuple[Coordinate, ...], bounds("a point, `[x, y]`", minItems=2, maxItems=2)]
Circle = Annotated[tuple[Coordinate, ...], bounds("a circle, `[x, y, radius]`", minItems=3, maxItems=3)]
Arc = Annotated[
    tuple[Coordinate, ...],
    bounds("an arc, `[x, y, radius, from, to]`, in degrees", minItems=5, maxItems=5),
]
Path = Annotated[tuple[Point, ...], bounds("points in order, `[[x, y], [x, y]]`", minItems=2, maxItems=200)]
PATHS_FORM = bounds("a list of lines, each a list of points", maxItems=MOST_STROKES)
LABEL_FORM = instead("a short label, such as `T1`", type="string", minLength=1, maxLength=3)
PLACE_FORM = bounds("`{title: ..., at: [x, y], to: [x, y]}`")
PLACES_FORM = bounds(
    "each place with its title and where its number stands", minProperties=1, maxProperties=60
)
SYMBOL_FORM = bounds("`{symbol: ..., at: [x, y], turn: 90}`")
SYMBOLS_FORM = bounds("a list of `{symbol: ..., at: [x, y], turn: 90}`", maxItems=MOST_STROKES)
TEXT_FORM = bounds("`{at: [x, y], says: ...}`")
TEXTS_FORM = bounds("a list of `{at: [x, y], says: ...}`", maxItems=MOST_STROKES)


@dataclass(frozen=True, slots=True)
class Strokes:
    """Lines through points, closed outlines, circles (x, y, radius), arcs (with two angles), filled dots."""

    lines: Annotated[tuple[Path, ...], PATHS_FORM] = ()
    outlines: Annotated[tuple[Path, ...], PATHS_FORM] = ()
    circles: Annotated[tuple[Circle, ...], bounds("a list of circles", maxItems=MOST_STROKES)] = ()
    arcs: Annotated[tuple[Arc, ...], bounds("a list of arcs", maxItems=MOST_STROKES)] = ()
    dots: Annotated[tuple[Point, ...], bounds("a list of points", maxItems=MOST_STROKES)] = ()


@dataclass(frozen=True, slots=True)
class DrawnSymbol:
    """A symbol that drawings place: it begins at 0, 0."""

    id: SymbolId
    title: str
    strokes: Annotated[Strokes, IN_PLACE]
    place: SourcePlace


@dataclass(frozen=True, slots=True)
class PlacedSymbol:
    """A symbol with its beginning at a point, turned about it."""

    symbol: SymbolId
    at: Point
    turn: Coordinate = 0.0


@dataclass(frozen=True, slots=True)
class Inscription:
    """A word on a drawing."""

    at: Point
    says: str


@dataclass(frozen=True, slots=True)
class DrawnPlace:
    """A numbered place: where its number stands, to which point it leads, and a label in its stead."""

    title: str
    at: Point
    to: Point = ()
    label: Annotated[str, LABEL_FORM] = ""


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing of a `size` for the machines that fit; its places are numbered in their order."""

    id: str
    title: str
    size: Point
    strokes: Annotated[Strokes, IN_PLACE]
    places: Annotated[Mapping[PlaceId, Annotated[DrawnPlace, PLACE_FORM]], PLACES_FORM]
    place: SourcePlace
    about: str = ""
    only_if: TraitCondition = ALWAYS
    symbols: Annotated[tuple[Annotated[PlacedSymbol, SYMBOL_FORM], ...], SYMBOLS_FORM] = ()
    texts: Annotated[tuple[Annotated[Inscription, TEXT_FORM], ...], TEXTS_FORM] = ()

    def number(self, place: PlaceId) -> str:
        """What stands at a place: its label, or its number among those without one."""
        plain = [name for name, known in self.places.items() if not known.label]
        return self.places[place].label or str(plain.index(place) + 1)
