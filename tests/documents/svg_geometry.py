"""The texts and lines of an SVG picture as a page, to be judged like a printed one.

Text is as wide as in Helvetica by the metrics that Adobe publishes for it (the core 14 fonts of PDF, as
reportlab brings them): Arial and Liberation Sans have the same widths, and a viewer is asked for these first.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from xml.etree import ElementTree as ET

import numpy as np
from reportlab.pdfbase.pdfmetrics import stringWidth

from documents.page_geometry import Floats, Leaf, curve, pieces_of
from kickover.documents import text

_SPACE = "{http://www.w3.org/2000/svg}"
_SHIFT = re.compile(r"translate\(([-\d.]+) ([-\d.]+)\)")
_RISE, _FALL = 0.73, 0.21
"""How far capital letters and tails reach, as a share of the size."""


def leaf_of(svg: bytes) -> Leaf:
    """The picture as a page; `says` holds whole lines of text."""
    root = ET.fromstring(svg)
    wide, high = (float(root.attrib[side].removesuffix("pt")) for side in ("width", "height"))
    graph = root.find(f"{_SPACE}g")
    assert graph is not None
    shift = _SHIFT.search(graph.attrib["transform"])
    assert shift
    origin = np.array([float(group) for group in shift.groups()])
    texts = [one for one in graph.iter(f"{_SPACE}text") if (one.text or "").strip()]
    boxes = np.array([_box(one, origin, high) for one in texts], float).reshape(-1, 4)
    endless = np.array([-np.inf, -np.inf, np.inf, np.inf])
    outlines = [(outline + origin) * np.array([1, -1]) + np.array([0, high]) for outline in _outlines(graph)]
    return Leaf(
        1,
        wide,
        high,
        tuple(one.text or "" for one in texts),
        boxes,
        np.array([float(one.attrib["font-size"]) for one in texts]),
        np.vstack([np.empty((0, 8)), *(pieces_of(outline, endless) for outline in outlines)]),
        np.empty((0, 4)),
        np.empty((0, 4)),
        np.full((1, 1), 255, np.uint8),
    )


def _box(one: ET.Element, origin: Floats, high: float) -> tuple[float, float, float, float]:
    size, says = float(one.attrib["font-size"]), (one.text or "").strip()
    wide = width(says, size, one.get("font-weight") == "bold")
    x, y = float(one.attrib["x"]) + origin[0], high - float(one.attrib["y"]) - origin[1]
    left = x - wide / 2 if one.get("text-anchor") == "middle" else x
    return left, y - _FALL * size, left + wide, y + _RISE * size


def width(says: str, size: float, bold: bool) -> float:
    """The width of a line in Helvetica; letters that it lacks count as in the font that the sheets embed."""
    text.use_fonts()
    known = says.encode("cp1252", "ignore").decode("cp1252")
    rest = "".join(say for say in says if say not in known)
    own = text.BOLD if bold else text.REGULAR
    return float(
        stringWidth(known, "Helvetica-Bold" if bold else "Helvetica", size) + stringWidth(rest, own, size)
    )


def _outlines(graph: ET.Element) -> Iterator[Floats]:
    """The corners of every symbol and line, without the ground of the picture."""
    for one in graph.iter():
        match one.tag.removeprefix(_SPACE):
            case "polygon" | "polyline" if one.get("fill") != "white":
                yield np.array([pair.split(",") for pair in one.attrib["points"].split()], float)
            case "path":
                yield _path(one.attrib["d"])


def _path(drawn: str) -> Floats:
    """The corners of a path of one move followed by cubic curves, which is all that `dot` writes."""
    start, curves = re.fullmatch(r"M(\S+?)C(.+)", drawn.replace(" ", ";")).groups()  # type: ignore[union-attr]
    corners = [_point(start)]
    handles = [_point(part) for part in curves.split(";")]
    for first in range(0, len(handles), 3):
        corners += curve(corners[-1], handles[first : first + 3])
    return np.array(corners)


def _point(pair: str) -> tuple[float, float]:
    x, y = pair.split(",")
    return float(x), float(y)
