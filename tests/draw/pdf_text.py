"""Reads the text of a PDF back, by a library that had no part in writing it."""

from __future__ import annotations

import io

import pdfplumber


def text_of(pdf: bytes) -> str:
    with pdfplumber.open(io.BytesIO(pdf)) as opened:
        return "\n".join(page.extract_text() for page in opened.pages)
