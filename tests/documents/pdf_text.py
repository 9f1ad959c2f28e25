"""Reads the text of a PDF back, by a library that had no part in writing it."""

from __future__ import annotations

import io
from dataclasses import dataclass
from functools import cache
from typing import Any

import pdfplumber


@dataclass(frozen=True, slots=True)
class Glyph:
    """One printed letter: its page from 1, its box from the top left corner, its size in points."""

    page: int
    says: str
    left: float
    top: float
    right: float
    foot: float
    size: float


@dataclass(frozen=True, slots=True)
class Leaf:
    """One page: its size, and where its links lead (page numbers from 1)."""

    wide: float
    high: float
    says: str
    links: tuple[Any, ...]


def text_of(pdf: bytes) -> str:
    return "\n".join(page.says for page in pages_of(pdf))


@cache
def pages_of(pdf: bytes) -> list[Leaf]:
    with pdfplumber.open(io.BytesIO(pdf)) as opened:
        return [
            Leaf(float(page.width), float(page.height), page.extract_text(),
                 tuple(annot["data"].get("Dest") for annot in page.annots))
            for page in opened.pages
        ]  # fmt: skip


@cache
def glyphs_of(pdf: bytes) -> list[Glyph]:
    with pdfplumber.open(io.BytesIO(pdf)) as opened:
        return [
            Glyph(number, char["text"], char["x0"], char["top"], char["x1"], char["bottom"], char["size"])
            for number, page in enumerate(opened.pages, 1)
            for char in page.chars
            if char["text"].strip()
        ]
