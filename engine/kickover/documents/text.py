"""Text as it is drawn: made safe for every output, measured in one font, and broken into lines.

All boxes are sized here, by the font that the PDF embeds, so that every renderer lays a picture out
alike. This module knows nothing of graphs or pages.
"""

from __future__ import annotations

import io
import unicodedata
from functools import cache

from pymupdf_fonts import myfont
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

REGULAR = "FiraGO"
BOLD = "FiraGO-Bold"
FONT_FAMILY = "Arial,Helvetica,Liberation Sans,DejaVu Sans Condensed,sans-serif"
"""What a browser or `dot` is asked for: all of these are about as wide as the font that is measured."""

SLACK = 1.06
"""Room for a viewer whose font is a little wider than the one measured."""

_REPLACED = {
    "\u00ad": "",
    "\u2009": " ",
    "\u202f": "\u00a0",
    "⇒": "→",
    "✓": "√",
    "✔": "√",
    "\ufffe": "",
    "\uffff": "",
}
_DROPPED_CATEGORIES = {"Cc", "Cf", "Cs", "Co", "Cn"}
_MISSING = "\ufffd"


@cache
def _fonts() -> dict[str, TTFont]:
    fonts = {
        REGULAR: TTFont(REGULAR, io.BytesIO(myfont("figo"))),
        BOLD: TTFont(BOLD, io.BytesIO(myfont("figbo"))),
    }
    for font in fonts.values():
        pdfmetrics.registerFont(font)
    pdfmetrics.registerFontFamily(REGULAR, normal=REGULAR, bold=BOLD, italic=REGULAR, boldItalic=BOLD)
    return fonts


def use_fonts() -> None:
    """Make the fonts known to reportlab by the names `REGULAR` and `BOLD`."""
    _fonts()


def clean(text: str) -> str:
    """`text` on one line, without control characters or anything else that XML, DOT or PDF cannot hold."""
    spaced = "".join(
        " " if character.isspace() and character != "\u00a0" else character for character in text
    )
    swapped = "".join(
        _REPLACED.get(character, character) for character in unicodedata.normalize("NFC", spaced)
    )
    kept = "".join(one for one in swapped if unicodedata.category(one) not in _DROPPED_CATEGORIES)
    return " ".join(part for part in kept.split(" ") if part)


def printable(text: str) -> str:
    """`clean` text in which each character that the font lacks is shown as the mark for a missing one."""
    known = _fonts()[REGULAR].face.charToGlyph
    return "".join(one if ord(one) in known else _MISSING for one in clean(text))


def width(text: str, size: float, bold: bool = False) -> float:
    """How wide `text` is in points, with some room for other fonts."""
    _fonts()
    return float(pdfmetrics.stringWidth(text, BOLD if bold else REGULAR, size)) * SLACK


def wrap(text: str, room: float, size: float, bold: bool = False) -> tuple[str, ...]:
    """Break `text` into lines no wider than `room` points, between words, inside a word only if it must."""
    lines: list[str] = []
    line = ""
    for word in clean(text).split(" "):
        longer = f"{line} {word}" if line else word
        if width(longer, size, bold) <= room:
            line = longer
            continue
        if line:
            lines.append(line)
        *full, line = _pieces(word, room, size, bold)
        lines.extend(full)
    return (*lines, line)


def _pieces(word: str, room: float, size: float, bold: bool) -> list[str]:
    pieces = [""]
    for character in word:
        if pieces[-1] and width(pieces[-1] + character, size, bold) > room:
            pieces.append("")
        pieces[-1] += character
    return pieces
