"""What is wrong with the printed pages of a PDF, by the places of its letters and lines and by its dots.

Read back by PDFium, a library that had no part in writing them. Points run right and up from the lower left
corner of the page, as in ISO 32000.
"""

from __future__ import annotations

import ctypes
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium
from numpy.typing import NDArray
from scipy.spatial import cKDTree

LEAST_SIZE = 8.0
EDGE = 8.0
"""Common practice, no source: office printers leave about 3 mm (8.5 points) of a sheet white."""
LETTERS_TOUCH = 0.11
"""So far the ink of neighbours may reach into each other, as a share of their size: kerned letters do."""
LINE_TOUCHES = 0.4
_FINE = 3
"""So many places to the point are looked at along a line."""
_CURVE = np.linspace(0.0, 1.0, 13)[1:, None]

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Leaf:
    """One page: its letters with the boxes of their ink and their sizes, its lines, and the page as dots.

    `boxes` has the columns left, low, right, high. `lines` has a row for each straight piece of a line or an
    outline: its start, its end, and the frame beyond which it is not shown. `clipped` are the boxes of the
    pieces of text that were drawn in a frame, `clips` those frames.
    """

    number: int
    wide: float
    high: float
    says: Sequence[str]
    boxes: Floats
    sizes: Floats
    lines: Floats
    clipped: Floats
    clips: Floats
    dots: NDArray[np.uint8]


def leaves_of(pdf: bytes) -> Iterator[Leaf]:
    """Every page of a PDF."""
    with pypdfium2.PdfDocument(pdf) as opened:
        for number, page in enumerate(opened, 1):
            wide, high = page.get_size()
            says, boxes, sizes = _letters(page)
            clipped, clips = _clipped(page)
            dots = page.render(scale=1, grayscale=True).to_numpy().copy()
            yield Leaf(number, wide, high, says, boxes, sizes, _lines(page), clipped, clips, dots)


def lines_of_text(pdf: bytes) -> list[str]:
    """Every line of text as it was drawn."""
    with pypdfium2.PdfDocument(pdf) as opened:
        return [
            get_object.extract()
            for page in opened
            for get_object in page.get_objects([pdfium.FPDF_PAGEOBJ_TEXT], textpage=page.get_textpage())
        ]


def faults_of(pdf: bytes) -> list[str]:
    """What is wrong with the pages, in words; nothing when they can be printed and read."""
    leaves = list(leaves_of(pdf))
    return [f"page {leaf.number}: {fault}" for leaf in leaves for check in CHECKS for fault in check(leaf)]


def small_text(leaf: Leaf) -> list[str]:
    """Letters under 8 points."""
    found = np.flatnonzero(leaf.sizes < LEAST_SIZE - 0.01).tolist()
    return [f"{leaf.says[one]!r} has {leaf.sizes[one]:.1f} points" for one in found]


def text_off_the_page(leaf: Leaf) -> list[str]:
    """Letters beyond what a printer reaches."""
    room = np.array([EDGE, EDGE, leaf.wide - EDGE, leaf.high - EDGE])
    return [
        f"{leaf.says[one]!r} is at the edge" for one in np.flatnonzero(_beyond(leaf.boxes, room)).tolist()
    ]


def text_on_text(leaf: Leaf) -> list[str]:
    """Letters whose ink lies over that of others."""
    if len(leaf.boxes) < 2:
        return []
    low, high = leaf.boxes[:, :2], leaf.boxes[:, 2:]
    near = cKDTree((low + high) / 2).query_pairs(float((high - low).max()), p=np.inf, output_type="ndarray")
    one, other = near.T
    common = np.minimum(high[one], high[other]) - np.maximum(low[one], low[other])
    most = LETTERS_TOUCH * np.minimum(leaf.sizes[one], leaf.sizes[other])
    return [
        f"{leaf.says[first]!r} and {leaf.says[second]!r} are on each other at {_place(leaf, first)}"
        for first, second in near[(common > most[:, None]).all(axis=1)].tolist()
    ]


def text_on_lines(leaf: Leaf) -> list[str]:
    """Letters that a line or the outline of a symbol runs through: text that does not fit its box."""
    points = _points(leaf)
    points = points[np.argsort(points[:, 0])]
    inner = leaf.boxes + np.array([1, 1, -1, -1]) * LINE_TOUCHES
    first = np.searchsorted(points[:, 0], inner[:, 0], "right").tolist()
    last = np.searchsorted(points[:, 0], inner[:, 2], "left").tolist()
    found = []
    for one, (_, low, _, high) in enumerate(inner.tolist()):
        up = points[first[one] : last[one], 1]
        if ((up > low) & (up < high)).any():
            found.append(f"a line runs through {leaf.says[one]!r} at {_place(leaf, one)}")
    return found


def _points(leaf: Leaf) -> Floats:
    """Points along every line, where it is shown."""
    starts, ends, frames = leaf.lines[:, :2], leaf.lines[:, 2:4], leaf.lines[:, 4:]
    steps = (np.abs(ends - starts).max(axis=1) * _FINE).astype(int) + 2
    line = np.repeat(np.arange(len(steps)), steps)
    along = (np.arange(len(line)) - np.repeat(steps.cumsum() - steps, steps)) / (steps - 1)[line]
    points = starts[line] + (ends - starts)[line] * along[:, None]
    seen = (points >= frames[line, :2]) & (points <= frames[line, 2:])
    return np.asarray(points[seen.all(axis=1)])


def text_clipped(leaf: Leaf) -> list[str]:
    """Text that reaches out of the frame in which it is shown."""
    beyond = [bool(_beyond(box[None], clip)[0]) for box, clip in zip(leaf.clipped, leaf.clips, strict=True)]
    return [f"text at {leaf.clipped[one].round()} is cut" for one in np.flatnonzero(beyond)]


def hidden_text(leaf: Leaf) -> list[str]:
    """Letters without ink where they should be: something lies over them. Strokes are too thin to tell."""
    left, right = np.floor(leaf.boxes[:, 0]), np.ceil(leaf.boxes[:, 2])
    top, foot = np.floor(leaf.high - leaf.boxes[:, 3]), np.ceil(leaf.high - leaf.boxes[:, 1])
    places = np.maximum(np.stack([left, top, right, foot], axis=1), 0).astype(int).tolist()
    return [
        f"{leaf.says[one]!r} cannot be seen at {_place(leaf, one)}"
        for one, (left, top, right, foot) in enumerate(places)
        if foot - top > 4 and right - left > 4 and leaf.dots[top:foot, left:right].min(initial=255) > 250
    ]


def ink_at_the_edge(leaf: Leaf) -> list[str]:
    """Dots in the margin that no printer reaches: something goes on beyond the page.

    A line from edge to edge is meant: one folds there.
    """
    dark = leaf.dots < 250
    dark &= ~(dark.mean(axis=0, keepdims=True) > 0.9) & ~(dark.mean(axis=1, keepdims=True) > 0.9)
    margin = int(EDGE) - 1
    return ["something is cut at the edge"] if dark.sum() > dark[margin:-margin, margin:-margin].sum() else []


def blank(leaf: Leaf) -> list[str]:
    """A page without ink."""
    return ["is blank"] if (leaf.dots < 128).sum() < 20 else []


CHECKS: tuple[Callable[[Leaf], list[str]], ...] = (
    small_text,
    text_off_the_page,
    text_on_text,
    text_on_lines,
    text_clipped,
    hidden_text,
    ink_at_the_edge,
    blank,
)


def _place(leaf: Leaf, letter: int) -> str:
    left, low = leaf.boxes[letter, :2]
    return f"{left:.0f} {leaf.high - low:.0f} (…{''.join(leaf.says[max(0, letter - 12) : letter + 12])}…)"


def _beyond(boxes: Floats, room: Floats) -> NDArray[np.bool_]:
    out = np.hstack([boxes[:, :2] < room[:2], boxes[:, 2:] > room[2:]])
    return np.asarray(out.any(axis=1))


def _letters(page: Any) -> tuple[str, Floats, Floats]:
    text = page.get_textpage()
    left, low, right, high = (ctypes.c_double() for _ in range(4))
    turned = pdfium.FS_MATRIX()
    says, boxes, sizes = [], [], []
    for one in range(text.count_chars()):
        letter = chr(pdfium.FPDFText_GetUnicode(text, one))
        if letter.isspace() or pdfium.FPDFText_IsGenerated(text, one) == 1:
            continue
        pdfium.FPDFText_GetCharBox(text, one, left, right, low, high)
        pdfium.FPDFText_GetMatrix(text, one, turned)
        scale = abs(turned.a * turned.d - turned.b * turned.c) ** 0.5
        says.append(letter)
        boxes.append((left.value, low.value, right.value, high.value))
        sizes.append(pdfium.FPDFText_GetFontSize(text, one) * scale)
    return "".join(says), np.array(boxes, float).reshape(-1, 4), np.array(sizes, float)


def _lines(page: Any) -> Floats:
    """Every straight piece of a line or a dark area with its frame; curves as short pieces."""
    found = [np.empty((0, 8))]
    for path in page.get_objects([pdfium.FPDF_PAGEOBJ_PATH]):
        if _is_dark(path):
            frame = _clip_frame(path)
            found += [pieces_of(corners, frame) for corners in _outlines(path)]
    return np.vstack(found)


def pieces_of(corners: Floats, frame: Floats) -> Floats:
    """The straight pieces between `corners`, each with the frame beyond which it is not shown."""
    pieces = np.hstack([corners[:-1], corners[1:]])
    return np.hstack([pieces, np.broadcast_to(frame, (len(pieces), 4))])


def _is_dark(path: Any) -> bool:
    filled, stroked = ctypes.c_int(), ctypes.c_int()
    pdfium.FPDFPath_GetDrawMode(path, filled, stroked)
    red, green, blue, cover = (ctypes.c_uint() for _ in range(4))
    pdfium.FPDFPageObj_GetFillColor(path, red, green, blue, cover)
    dark = red.value + green.value + blue.value < 3 * 128
    return bool(stroked.value) or (bool(filled.value) and dark)


def _outlines(path: Any) -> Iterator[Floats]:
    matrix = path.get_matrix()
    across, up = ctypes.c_float(), ctypes.c_float()
    corners: list[tuple[float, float]] = []
    handles: list[tuple[float, float]] = []
    for number in range(pdfium.FPDFPath_CountSegments(path)):
        piece = pdfium.FPDFPath_GetPathSegment(path, number)
        pdfium.FPDFPathSegment_GetPoint(piece, across, up)
        point = matrix.on_point(across.value, up.value)
        match pdfium.FPDFPathSegment_GetType(piece):
            case pdfium.FPDF_SEGMENT_MOVETO:
                if len(corners) > 1:
                    yield np.array(corners)
                corners = [point]
            case pdfium.FPDF_SEGMENT_BEZIERTO:
                handles.append(point)
                if len(handles) == 3:
                    corners += curve(corners[-1], handles)
                    handles = []
            case _:
                corners.append(point)
        if pdfium.FPDFPathSegment_GetClose(piece):
            corners.append(corners[0])
    if len(corners) > 1:
        yield np.array(corners)


def curve(start: tuple[float, float], handles: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Points on a cubic Bézier curve (ISO 32000-1, 8.5.2.2)."""
    first, second, third, fourth = (np.array(one) for one in (start, *handles))
    rest = 1.0 - _CURVE
    points = (
        first * rest**3 + 3 * second * _CURVE * rest**2 + 3 * third * _CURVE**2 * rest + fourth * _CURVE**3
    )
    return [(float(x), float(y)) for x, y in points]


def _clipped(page: Any) -> tuple[Floats, Floats]:
    boxes, clips = [], []
    for get_object in page.get_objects([pdfium.FPDF_PAGEOBJ_TEXT]):
        frame = _clip_frame(get_object)
        if np.isfinite(frame).any():
            boxes.append(get_object.get_bounds())
            clips.append(frame)
    return np.array(boxes, float).reshape(-1, 4), np.array(clips, float).reshape(-1, 4)


def _clip_frame(thing: Any) -> Floats:
    """The frame beyond which a thing is not shown; without an end where there is none."""
    across, up = ctypes.c_float(), ctypes.c_float()
    frame = np.array([-np.inf, -np.inf, np.inf, np.inf])
    clip = pdfium.FPDFPageObj_GetClipPath(thing)
    for path in range(pdfium.FPDFClipPath_CountPaths(clip) if clip else 0):
        points = []
        for number in range(pdfium.FPDFClipPath_CountPathSegments(clip, path)):
            pdfium.FPDFPathSegment_GetPoint(
                pdfium.FPDFClipPath_GetPathSegment(clip, path, number), across, up
            )
            points.append((across.value, up.value))
        corners = np.array(points)
        frame[:2] = np.maximum(frame[:2], corners.min(axis=0))
        frame[2:] = np.minimum(frame[2:], corners.max(axis=0))
    return frame
