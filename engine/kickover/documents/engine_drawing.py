"""The line drawings of an engine as marks and as SVG, with the places of a step marked."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from html import escape

from kickover.core.ids import PlaceId, SymbolId
from kickover.documents import text
from kickover.documents.page_layout import (
    SIZE,
    Entry,
    LineMark,
    LinkMark,
    Mark,
    ShapeMark,
    TextMark,
    lines_entry,
    moved,
)
from kickover.documents.page_output import mark_svg
from kickover.model.drawings import RING
from kickover.model.library import Drawing, DrawnSymbol, Library, Machine, Strokes

_NUMBER, _WORD = 8.0, 8.0
_STROKE = 0.9
_LEADER = 0.5
_MARKED = 2.4
"""A marked place has a ring of this width, which tells it apart without colour."""
_DEGREES_A_PIECE = 12.0
_APART, _BESIDE = 12.0, 96.0
"""Words stand beside a drawing where there is so much room for them."""


@dataclass(frozen=True, slots=True)
class MarkedDrawing:
    """A drawing with the places on it that a step is at; none of them for the drawing by itself."""

    drawing: Drawing
    symbols: Mapping[SymbolId, DrawnSymbol]
    places: tuple[PlaceId, ...] = ()

    def words(self) -> str:
        """Where it is, in words: `1 Stop switch; T2 Source coil under the flywheel`."""
        return "; ".join(
            f"{self.drawing.number(place)} {self.drawing.places[place].title}" for place in self.places
        )

    def legend(self) -> list[str]:
        """The titles of all its places, each with its number."""
        return [f"{self.drawing.number(name)} {place.title}" for name, place in self.drawing.places.items()]

    def marks(self) -> tuple[Mark, ...]:
        """The drawing in its own size."""
        numbers = (mark for name in self.drawing.places for mark in self._number(name))
        return (*_ground(self), *numbers)

    def entry(self, title: str, legend: Iterable[str], wide: float, *, about: bool = True) -> Entry:
        """The drawing for a column, below its title; beside or below it what it is and its numbers are."""
        across, high = self.drawing.size
        head = lines_entry([(title, True)], wide)
        beside = wide - across - _APART >= _BESIDE
        right, down = (across + _APART, 0.0) if beside else (0.0, high + 4.0)
        words = [(self.drawing.about, False)] * about + [("; ".join(legend) + ".", False)]
        foot = lines_entry(words, wide - right, _WORD if beside else SIZE)
        foot_marks = moved(foot.marks, right, head.high + down)
        marks = [*head.marks, *moved(self.marks(), 0.0, head.high), *foot_marks]
        return Entry(head.high + max(high, down + foot.high) + 8.0, marks)

    def svg(self) -> str:
        """The drawing as an SVG element; each place is a group with its id, so that a page can mark it."""
        wide, high = self.drawing.size
        parts = [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide:g} {high:g}" role="img"'
            f' data-drawing="{escape(self.drawing.id)}" font-family="{text.FONT_FAMILY}">',
            f"<title>{escape(text.clean(self.drawing.title))}</title>",
            f"<desc>{escape(text.clean(self.words() or self.drawing.about))}</desc>",
        ]
        parts += [line for mark in _ground(self) for line in mark_svg(mark)]
        for name in self.drawing.places:
            kind = "place here" if name in self.places else "place"
            parts.append(f'<g class="{kind}" data-place="{escape(name)}">')
            parts += [line for mark in self._number(name) for line in mark_svg(mark)]
            parts.append("</g>")
        return "".join((*parts, "</svg>"))

    def _number(self, name: PlaceId) -> Iterator[Mark]:
        place = self.drawing.places[name]
        x, y = place.at
        ring = _round(x, y, RING)
        yield LineMark((*ring, ring[0]), _MARKED if name in self.places else _LEADER)
        says = self.drawing.number(name)
        wide = text.width(says, _NUMBER, bold=True) / text.SLACK
        yield TextMark(x - wide / 2, y - _NUMBER * 0.58, says, _NUMBER, bold=True)
        if place.to:
            away = math.dist(place.at, place.to)
            share = min(1.0, RING / away) if away else 1.0
            start = (x + (place.to[0] - x) * share, y + (place.to[1] - y) * share)
            yield LineMark((start, (place.to[0], place.to[1])), _LEADER)


def drawings_of(library: Library, machine: Machine) -> tuple[MarkedDrawing, ...]:
    """The drawings that such a machine fits, in the order in which they were written."""
    return tuple(
        MarkedDrawing(one, library.symbols) for one in library.drawings.values() if machine.fits(one.only_if)
    )


def shown_on(library: Library, machine: Machine, places: Iterable[PlaceId]) -> tuple[MarkedDrawing, ...]:
    """The drawings of a machine on which any of the places is, each with those that it has."""
    wanted = tuple(dict.fromkeys(places))
    marked = (
        replace(one, places=tuple(place for place in wanted if place in one.drawing.places))
        for one in drawings_of(library, machine)
    )
    return tuple(one for one in marked if one.places)


def _ground(marked: MarkedDrawing) -> Iterator[Mark]:
    yield from _stroke_marks(marked.drawing.strokes)
    for placed in marked.drawing.symbols:
        symbol = marked.symbols.get(placed.symbol)
        strokes = _stroke_marks(symbol.strokes) if symbol else ()
        yield from moved([_turned(mark, placed.turn) for mark in strokes], placed.at[0], placed.at[1])
    for word in marked.drawing.texts:
        yield TextMark(word.at[0], word.at[1] - _WORD * 0.6, word.says, _WORD)


def _stroke_marks(strokes: Strokes) -> Iterator[Mark]:
    for line in strokes.lines:
        yield LineMark(tuple((x, y) for x, y in line), _STROKE)
    for outline in strokes.outlines:
        yield ShapeMark(tuple((x, y) for x, y in outline))
    for x, y, radius in strokes.circles:
        yield ShapeMark(_round(x, y, radius))
    for x, y, radius, start, end in strokes.arcs:
        yield LineMark(_arc(x, y, radius, start, end), _STROKE)
    for x, y in strokes.dots:
        yield ShapeMark(_round(x, y, 1.4), filled=True)


def _round(x: float, y: float, radius: float) -> tuple[tuple[float, float], ...]:
    return _arc(x, y, radius, 0.0, 360.0)[:-1]


def _arc(x: float, y: float, radius: float, start: float, end: float) -> tuple[tuple[float, float], ...]:
    pieces = max(2, round(abs(end - start) / _DEGREES_A_PIECE * max(1.0, radius / 40.0)))
    turns = [math.radians(start + (end - start) * number / pieces) for number in range(pieces + 1)]
    return tuple((x + radius * math.cos(turn), y + radius * math.sin(turn)) for turn in turns)


def _turned(mark: Mark, degrees: float) -> Mark:
    if isinstance(mark, TextMark | LinkMark) or not degrees:
        return mark
    cosine, sine = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    points = tuple((x * cosine - y * sine, x * sine + y * cosine) for x, y in mark.points)
    return ShapeMark(points, mark.filled) if isinstance(mark, ShapeMark) else LineMark(points, mark.wide)
