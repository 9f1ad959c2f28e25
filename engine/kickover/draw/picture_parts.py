"""What of a picture is drawn on a part of it: outlines to the edge, and text only where it is whole.

A symbol that the edge cuts keeps its outline there, so that one sees that it goes on; its text stands on the
part that holds the whole symbol. So no text is cut, and to search a sheet finds what can be read on it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

_PLAY = 0.5
"""How far in points a line's own width may reach beyond a part without being cut."""


@dataclass(frozen=True, slots=True)
class Frame:
    """A rectangle in points, measured right and down from the top left corner of the picture."""

    left: float
    top: float
    right: float
    foot: float

    def holds(self, other: Frame) -> bool:
        """Whether `other` lies inside."""
        return (
            self.left - _PLAY <= other.left
            and self.top - _PLAY <= other.top
            and other.right <= self.right + _PLAY
            and other.foot <= self.foot + _PLAY
        )

    def meets(self, other: Frame) -> bool:
        """Whether both have anything in common."""
        return (
            self.left <= other.right
            and other.left <= self.right
            and self.top <= other.foot
            and other.top <= self.foot
        )


@dataclass(frozen=True, slots=True)
class Piece:
    """One symbol, line or text of a picture: the room it takes up and what draws it.

    `outline` is the same without its text; None when it is nothing but text.
    """

    frame: Frame
    whole: Any
    outline: Any | None


class Picture:
    """A picture that is shown in parts: `drawing` as `vector_pdf.vector_drawing` gives it, parts as `frames`.

    A symbol that no frame can hold is taken apart into its outline and its texts.
    """

    def __init__(self, drawing: Any, frames: Sequence[Frame]) -> None:
        from reportlab.graphics.shapes import Group

        self._drawing, self._frames = drawing, frames
        holder = Group(*drawing.contents)
        while len(holder.contents) == 1 and isinstance(holder.contents[0], Group):
            holder, outer = holder.contents[0], holder
            holder = _moved(holder.contents, outer.transform, holder.transform)
        self._pieces = tuple(self._taken_apart(holder))

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """Its pieces, in the order in which they are drawn."""
        return self._pieces

    def part(self, frame: Frame) -> Any:
        """A drawing of the size of the whole picture with what `frame` shows.

        A line of text that no frame can hold is drawn on each that it meets, and the edge cuts it.
        """
        from reportlab.graphics.shapes import Drawing

        part = Drawing(self._drawing.width, self._drawing.height)
        for shape in self._shown(frame):
            part.add(shape)
        return part

    def _shown(self, frame: Frame) -> Iterator[Any]:
        for piece in self._pieces:
            if not frame.meets(piece.frame):
                continue
            if frame.holds(piece.frame) or not self._held(piece.frame):
                yield piece.whole
            elif piece.outline is not None:
                yield piece.outline

    def _held(self, room: Frame) -> bool:
        return any(frame.holds(room) for frame in self._frames)

    def _taken_apart(self, holder: Any) -> Iterator[Piece]:
        from reportlab.graphics.shapes import Group

        for one in holder.contents:
            if isinstance(one, Group) and not one.contents:
                continue
            shape = _moved([one], holder.transform)
            piece = Piece(self._frame(shape.getBounds()), shape, _without_text(shape))
            if isinstance(one, Group) and not self._held(piece.frame):
                yield from self._taken_apart(_moved(one.contents, holder.transform, one.transform))
            else:
                yield piece

    def _frame(self, bounds: Sequence[float]) -> Frame:
        left, low, right, high = bounds
        return Frame(left, self._drawing.height - high, right, self._drawing.height - low)


def _moved(shapes: Sequence[Any], *transforms: tuple[float, ...]) -> Any:
    """A group of `shapes` that is moved and turned by `transforms`, the first of them last."""
    from reportlab.graphics.shapes import Group
    from reportlab.graphics.transform import mmult

    group = Group(*shapes)
    for transform in transforms:
        group.transform = mmult(group.transform, transform)
    return group


def _without_text(shape: Any) -> Any | None:
    from reportlab.graphics.shapes import Group, String

    if isinstance(shape, String):
        return None
    if not isinstance(shape, Group):
        return shape
    kept = [one for one in map(_without_text, shape.contents) if one is not None]
    if not kept:
        return None
    group = Group(*kept)
    group.transform = shape.transform
    return group
