"""Prints one picture on sheets of a paper: how the sheets lie, then a sheet for each part of it.

Parts keep the size of the picture, so no text is smaller than it was drawn. They overlap, so that a symbol
which the edge of one sheet cuts is whole on another, and there its text stands.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from kickover.documents import text
from kickover.documents.dot_text import LINE_HEIGHT, Block, Words, block
from kickover.documents.paper import MARGIN, SMALL, Paper, paper_named
from kickover.documents.renderer import vector_drawing

OVERLAP_WIDE, OVERLAP_HIGH = 190.0, 80.0
"""What neighbours share in points: more than the widest and the tallest symbol of a tree."""
_HEADER, _FOOTER = 22.0, 30.0


@dataclass(frozen=True, slots=True)
class SheetPart:
    """One sheet's part of a picture: its row and column, and where its top left corner is."""

    row: int
    column: int
    left: float
    top: float


@dataclass(frozen=True, slots=True)
class Tiling:
    """How a picture is cut: rows, columns and the parts, row by row."""

    rows: int
    columns: int
    parts: tuple[SheetPart, ...]

    def number(self, row: int, column: int, first: int) -> int | None:
        """The sheet of that part when the first part is sheet `first`; None beyond the edge."""
        inside = 0 <= row < self.rows and 0 <= column < self.columns
        return first + row * self.columns + column if inside else None


def tiling(wide: float, high: float, room_wide: float, room_high: float) -> Tiling:
    """Cut a picture of `wide` by `high` points into parts that fit the room, as few as overlap allows."""
    columns = _count(wide, room_wide, OVERLAP_WIDE)
    rows = _count(high, room_high, OVERLAP_HIGH)
    parts = tuple(
        SheetPart(row, column, _start(column, columns, wide, room_wide), _start(row, rows, high, room_high))
        for row in range(rows)
        for column in range(columns)
    )
    return Tiling(rows, columns, parts)


def _count(size: float, room: float, overlap: float) -> int:
    return 1 if size <= room else math.ceil((size - overlap) / (room - overlap))


def _start(index: int, count: int, size: float, room: float) -> float:
    return 0.0 if count == 1 else index * (size - room) / (count - 1)


def tree_pdf(svg: bytes, title: str, facts: str, date: str, paper: str = "a4") -> bytes:
    """The sheets of the picture `svg` as a PDF; the same bytes for the same input.

    `title` heads every sheet, `facts` (the library and its version) and `date` stand at its foot. Raises
    PaperError for an unknown paper, VectorError for no SVG.
    """
    return _Sheets(vector_drawing(svg), title, f"{facts} · {date}", paper_named(paper)).pdf()


class _Sheets:
    def __init__(self, drawing: Any, title: str, facts: str, paper: Paper) -> None:
        # Imported when used: it takes longer to load than it takes to draw a tree as SVG.
        from reportlab.pdfgen.canvas import Canvas

        text.use_fonts()
        self._drawing, self._title, self._facts, self._paper = drawing, title, facts, paper
        self._stream = io.BytesIO()
        self._canvas = Canvas(self._stream, pagesize=(paper.wide, paper.high), invariant=1)
        self._canvas.setTitle(text.printable(title))
        self._wide = paper.wide - 2 * MARGIN
        self._high = paper.high - 2 * MARGIN - _HEADER - _FOOTER
        self._tiling = tiling(drawing.width, drawing.height, self._wide, self._high)
        self._first = 1 if len(self._tiling.parts) == 1 else 2
        self._total = self._first - 1 + len(self._tiling.parts)
        self._picture = PlacedPicture(drawing, [self._frame(part) for part in self._tiling.parts])

    def pdf(self) -> bytes:
        if self._first == 2:
            self._overview()
        for number, part in enumerate(self._tiling.parts, self._first):
            self._part(number, part)
        self._canvas.save()
        return self._stream.getvalue()

    def _begin(self, number: int, says: str) -> None:
        canvas, paper = self._canvas, self._paper
        canvas.bookmarkHorizontal(f"sheet:{number}", 0, paper.high)
        canvas.addOutlineEntry(f"{number} {says}", f"sheet:{number}", level=0)
        heading = clipped((Words(f"{self._title} · {says}", 10, bold=True),), self._wide, 1).lines[0]
        self._words(heading, MARGIN, paper.high - MARGIN - 10)
        canvas.setLineWidth(0.6)
        canvas.line(MARGIN, paper.high - MARGIN - 16, MARGIN + self._wide, paper.high - MARGIN - 16)
        canvas.line(MARGIN, MARGIN + 14, MARGIN + self._wide, MARGIN + 14)
        foot = clipped((Words(self._facts, SMALL),), self._wide * 0.75, 1).lines[0]
        self._words(foot, MARGIN, MARGIN + 3)
        self._words(Words(f"Sheet {number} of {self._total}", SMALL), MARGIN + self._wide - 80, MARGIN + 3)

    def _words(self, line: Words, x: float, y: float) -> None:
        self._canvas.setFont(text.BOLD if line.bold else text.REGULAR, line.size)
        self._canvas.drawString(x, y, text.printable(line.says))

    def _overview(self) -> None:
        """How the sheets lie beside each other, in the shape of the picture."""
        self._begin(1, "how the sheets lie")
        scale = min(self._wide / self._drawing.width, self._high / self._drawing.height)
        wide = self._drawing.width * scale / self._tiling.columns
        high = self._drawing.height * scale / self._tiling.rows
        top = MARGIN + _FOOTER + self._high
        for number, part in enumerate(self._tiling.parts, self._first):
            corner = (MARGIN + part.column * wide, top - (part.row + 1) * high)
            self._canvas.rect(*corner, wide, high)
            self._canvas.setFont(text.BOLD, 24)
            self._canvas.drawCentredString(corner[0] + wide / 2, corner[1] + high / 2 - 8, str(number))
            corners = (*corner, corner[0] + wide, corner[1] + high)
            self._canvas.linkRect("", f"sheet:{number}", corners, relative=0, thickness=0)
        self._canvas.showPage()

    def _frame(self, part: SheetPart) -> Frame:
        wide, high = min(self._wide, self._drawing.width), min(self._high, self._drawing.height)
        return Frame(part.left, part.top, part.left + wide, part.top + high)

    def _part(self, number: int, part: SheetPart) -> None:
        from reportlab.graphics import renderPDF

        canvas, frame = self._canvas, self._frame(part)
        self._begin(number, f"part {part.row + 1}.{part.column + 1}" if self._total > 1 else "whole")
        wide, high = frame.right - frame.left, frame.foot - frame.top
        foot = MARGIN + _FOOTER + self._high - high
        canvas.saveState()
        clip = canvas.beginPath()
        clip.rect(MARGIN, foot, wide, high)
        canvas.clipPath(clip, stroke=0)
        canvas.translate(MARGIN - part.left, foot - (self._drawing.height - part.top - high))
        renderPDF.draw(self._picture.part(frame), canvas, 0, 0)
        canvas.restoreState()
        self._neighbours(part)
        canvas.showPage()

    def _neighbours(self, part: SheetPart) -> None:
        """Where the picture goes on beyond each edge, linked."""
        x = MARGIN
        for says, row, column in (("left", 0, -1), ("right", 0, 1), ("above", -1, 0), ("below", 1, 0)):
            number = self._tiling.number(part.row + row, part.column + column, self._first)
            if number is None:
                continue
            label = block((Words(f"{says}: sheet {number}", SMALL),), 120)
            self._words(label.lines[0], x, MARGIN + 18)
            corners = (x, MARGIN + 15, x + label.width, MARGIN + 27)
            self._canvas.linkRect("", f"sheet:{number}", corners, relative=0, thickness=0)
            x += label.width + 24


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
class PictureFragment:
    """One symbol, line or text of a picture: the room it takes up and what draws it.

    `outline` is the same without its text; None when it is nothing but text.
    """

    frame: Frame
    whole: Any
    outline: Any | None


class PlacedPicture:
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
    def pieces(self) -> tuple[PictureFragment, ...]:
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

    def _taken_apart(self, holder: Any) -> Iterator[PictureFragment]:
        from reportlab.graphics.shapes import Group

        for content in holder.contents:
            if isinstance(content, Group) and not content.contents:
                continue
            shape = _moved([content], holder.transform)
            piece = PictureFragment(self._frame(shape.getBounds()), shape, _without_text(shape))
            if isinstance(content, Group) and not self._held(piece.frame):
                yield from self._taken_apart(_moved(content.contents, holder.transform, content.transform))
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


def clipped(words: Sequence[Words], room: float, most: int) -> Block:
    """`words` laid out in `room`, cut after `most` lines with an ellipsis."""
    whole = block(words, room)
    if len(whole.lines) <= most:
        return whole
    last = whole.lines[most - 1]
    kept = last.says
    while kept and text.width(f"{kept}…", last.size, last.bold) > room:
        kept = kept[:-1]
    lines = (*whole.lines[: most - 1], Words(f"{kept.rstrip()}…", last.size, last.bold))
    return Block(lines, min(whole.width, room), sum(line.size * LINE_HEIGHT for line in lines))
