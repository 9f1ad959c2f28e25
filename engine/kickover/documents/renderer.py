"""Turns DOT text into SVG, PNG or PDF with a `dot` program: the system's, or else the one from pip.

PDF is made from the SVG, with the text kept as text, so that both programs give the same. DOT text
is handed over on standard input; no program is ever given the name of a file.
"""

from __future__ import annotations

import io
import re
import shutil
import subprocess
from collections.abc import Callable
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path
from typing import Any

from kickover.core.problem import KickoverError
from kickover.documents import text
from kickover.documents.text import FONT_FAMILY

FORMATS = ("svg", "png", "pdf", "dot")
BUNDLED = "graphviz-pure"
PNG_DOTS_PER_INCH = 110
LEAST_DOTS_PER_INCH = 60
"""With fewer dots the smallest text of a drawing cannot be read."""
MOST_DOTS, MOST_DOTS_ACROSS = 100_000_000, 32_000
"""What a viewer of pictures, and the programs themselves, still cope with."""
LARGE = 900
"""A drawing with more edges than this is laid out with less effort, or the time grows with their square."""
_LESS_EFFORT = ("-Gnslimit=1", "-Gmclimit=0.3")
_SIZE = re.compile(rb'<svg width="(\d+)pt" height="(\d+)pt"')


class RenderError(KickoverError):
    """A picture that could not be made."""


@dataclass(frozen=True, slots=True)
class Program:
    """A program that speaks `dot`'s command line; `bundled` is true for the one that pip installs."""

    path: str
    bundled: bool


def system_dot(which: Callable[[str], str | None] = shutil.which) -> Program | None:
    """The system's own `dot`, or None when it is not on the search path."""
    found = which("dot")
    return Program(found, bundled=False) if found else None


def bundled_dot() -> Program | None:
    """The `dot` of the pip package graphviz-pure, or None when that is not installed."""
    try:
        files = metadata.files(BUNDLED) or ()
    except metadata.PackageNotFoundError:
        return None
    for file in files:
        if file.name in (BUNDLED, f"{BUNDLED}.exe"):
            path = Path(str(file.locate())).resolve()
            if path.is_file():
                return Program(str(path), bundled=True)
    return None


def find_dot() -> Program:
    """The system's `dot` when there is one, else the bundled one; RenderError when there is neither."""
    program = system_dot() or bundled_dot()
    if program is None:
        raise RenderError(f"no program to draw with was found; run: pip install {BUNDLED}")
    return program


def render(dot: str, form: str, program: Program | None = None, seconds: float = 60.0) -> bytes:
    """The picture that `dot` describes, as the bytes of a file of `form` (svg, png, pdf or dot).

    Raises RenderError when the form is unknown, no program is found, it fails, or takes too long.
    """
    if form not in FORMATS:
        raise RenderError(f"cannot draw {form!r}; choose one of {', '.join(FORMATS)}")
    if form == "dot":
        return dot.encode()
    chosen = program or find_dot()
    effort = list(_LESS_EFFORT) if dot.count(" -> ") > LARGE else []
    if form == "png" and not effort:
        return _run(chosen, ["-Tpng", f"-Gdpi={PNG_DOTS_PER_INCH}"], dot, seconds)
    svg = _run(chosen, ["-Tsvg", *effort], dot, seconds)
    match form:
        case "png":
            return _run(chosen, ["-Tpng", f"-Gdpi={_dots_per_inch(svg)}", *effort], dot, seconds)
        case "pdf":
            return svg_to_pdf(svg)
        case _:
            return _named_once(svg)


def _dots_per_inch(svg: bytes) -> int:
    """How finely a large drawing can be made into dots. Raises RenderError when that cannot be read."""
    size = _SIZE.search(svg)
    wide, high = (int(points) / 72 for points in size.groups()) if size else (1.0, 1.0)
    dots = min(PNG_DOTS_PER_INCH, (MOST_DOTS / (wide * high)) ** 0.5, MOST_DOTS_ACROSS / max(wide, high))
    if dots < LEAST_DOTS_PER_INCH:
        raise RenderError(
            f"a picture of {wide * 2.54:.0f} by {high * 2.54:.0f} cm is too large for PNG; "
            "draw it as .svg or .pdf, or draw less of it"
        )
    return int(dots)


def _named_once(svg: bytes) -> bytes:
    """The picture with its font named once, at its root, instead of at every line of text."""
    attribute = f' font-family="{FONT_FAMILY}"'.encode()
    return svg.replace(attribute, b"").replace(b"<svg ", b"<svg" + attribute + b" ", 1)


def _run(program: Program, arguments: list[str], dot: str, seconds: float) -> bytes:
    try:
        done = subprocess.run(  # noqa: S603 - the program was found by us, and no argument is a user's
            [program.path, *arguments], input=dot.encode(), capture_output=True, timeout=seconds, check=False
        )
    except subprocess.TimeoutExpired as error:
        raise RenderError(
            f"drawing took more than {seconds:g} seconds and was stopped; draw a smaller part of the tree"
        ) from error
    except OSError as error:
        raise RenderError(
            f"{program.path}: cannot be run: {error.strerror}; run: pip install --force-reinstall {BUNDLED}"
        ) from error
    if done.returncode != 0 or not done.stdout:
        said = done.stderr.decode(errors="replace").strip().splitlines()
        reason = said[0] if said else f"it stopped with status {done.returncode}"
        raise RenderError(
            f"{program.path}: could not draw: {reason}; try -o FILE.dot and look at what is in it"
        )
    return done.stdout


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
