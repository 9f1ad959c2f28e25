"""Line drawings of an engine's parts and circuits, with numbered places that steps name.

Coordinates are points, right and down from the top left corner; angles are degrees, clockwise from the right.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

from kickover.core.ids import PlaceId, SymbolId
from kickover.core.problem import SourcePlace
from kickover.model.authored import IN_PLACE
from kickover.model.conditions import TraitCondition

Numbers = tuple[float, ...]

RING = 7.0
"""Radius of the ring about a place's number, in points."""


@dataclass(frozen=True, slots=True)
class Strokes:
    """Lines through points, closed outlines, circles (x, y, radius), arcs (with two angles), filled dots."""

    lines: tuple[tuple[Numbers, ...], ...] = ()
    outlines: tuple[tuple[Numbers, ...], ...] = ()
    circles: tuple[Numbers, ...] = ()
    arcs: tuple[Numbers, ...] = ()
    dots: tuple[Numbers, ...] = ()


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
    at: Numbers
    turn: float = 0.0


@dataclass(frozen=True, slots=True)
class Inscription:
    """A word on a drawing."""

    at: Numbers
    says: str


@dataclass(frozen=True, slots=True)
class DrawnPlace:
    """A numbered place: where its number stands, to which point it leads, and a label in its stead."""

    title: str
    at: Numbers
    to: Numbers = ()
    label: str = ""


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing of a `size` for the machines that fit; its places are numbered in their order."""

    id: str
    title: str
    about: str
    size: Numbers
    only_if: TraitCondition
    strokes: Annotated[Strokes, IN_PLACE]
    symbols: tuple[PlacedSymbol, ...]
    texts: tuple[Inscription, ...]
    places: Mapping[PlaceId, DrawnPlace]
    place: SourcePlace

    def number(self, place: PlaceId) -> str:
        """What stands at a place: its label, or its number among those without one."""
        plain = [name for name, one in self.places.items() if not one.label]
        return self.places[place].label or str(plain.index(place) + 1)
