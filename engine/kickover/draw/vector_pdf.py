"""Turns the SVG of a drawing into a PDF of the same size, its text kept as text in an embedded font."""

from __future__ import annotations

import io
from typing import Any

from kickover.draw import text
from kickover.problem import KickoverError


class VectorError(KickoverError):
    """An SVG that cannot be turned into a PDF."""


def svg_to_pdf(svg: bytes) -> bytes:
    """The one-page PDF of `svg`; the same bytes for the same input. Raises VectorError for no SVG."""
    # Imported when used: these take longer to load than it takes to draw a tree as SVG.
    from reportlab.graphics import renderPDF
    from reportlab.pdfgen.canvas import Canvas

    drawing = vector_drawing(svg)
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=(drawing.width, drawing.height), invariant=1)
    renderPDF.draw(drawing, canvas, 0, 0)
    canvas.save()
    return stream.getvalue()


def vector_drawing(svg: bytes) -> Any:
    """The drawing that `svg` holds, as reportlab has it, in points. Raises VectorError for no SVG."""
    from svglib.fonts import get_global_font_map
    from svglib.svglib import svg2rlg

    text.use_fonts()
    fonts = get_global_font_map()
    fonts.register_font(text.REGULAR, rlgFontName=text.REGULAR)
    fonts.register_font(text.REGULAR, weight="bold", rlgFontName=text.BOLD)
    drawing = svg2rlg(io.BytesIO(svg.replace(text.FONT_FAMILY.encode(), text.REGULAR.encode())))
    if drawing is None:
        raise VectorError("the drawing could not be read back as SVG; try -o FILE.svg")
    return drawing
