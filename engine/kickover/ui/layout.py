"""A screen laid out in lines of a given width, each with the role that gives it its look.

Meaning is in the words and marks; the roles only add to it, so the same lines serve a terminal without
colour, a screen reader and a pipe.
"""

from __future__ import annotations

from dataclasses import dataclass
from textwrap import wrap

from kickover.session.wording import percent
from kickover.ui.screen import Bar, Screen

ASIDE_FROM = 100
"""From this many columns on, the likely causes stand beside the question."""
ASIDE_WIDTH = 38


@dataclass(frozen=True, slots=True)
class StyledLine:
    """One line of text and its role."""

    text: str
    role: str = ""


def laid_out(screen: Screen, width: int, message: str = "") -> tuple[StyledLine, ...]:
    """The screen from top to bottom, nothing wider than `width`."""
    lines: list[StyledLine] = _block(screen.heading, width, "heading")
    for stop in screen.stops:
        lines += _block(f"STOP: {stop}", width, "stop")
    lines.append(StyledLine(""))
    lines += _block(screen.lead, width, "lead")
    for caution in screen.cautions:
        lines += _block(f"! {caution}", width, "caution", "  ")
    for words in screen.body:
        lines += _block(words, width, "body", _hang(words))
    for number, step in enumerate(screen.how, start=1):
        mark = f"  {chr(96 + number)}) " if len(screen.how) > 1 else "  - "
        lines += _block(f"{mark}{step}", width, "how", " " * len(mark))
    lines += [StyledLine(f"  {row}"[:width], "sketch") for row in screen.sketch]
    if screen.choices:
        lines.append(StyledLine(""))
    widest = max((len(choice.key) for choice in screen.choices), default=0)
    for choice in screen.choices:
        mark = f"  {choice.key:>{widest}}  "
        lines += _block(f"{mark}{choice.label}", width, "choice", " " * len(mark))
    for fact in screen.facts:
        lines += _block(f"  {fact}", width, "fact", "    ")
    if message:
        lines += [StyledLine(""), *message_lines(message, width)]
    return tuple(lines)


def message_lines(message: str, width: int) -> tuple[StyledLine, ...]:
    """What answers the last line; no line where there is nothing to say."""
    return tuple(_block(f"> {message}", width, "message", "  ")) if message else ()


def keys_line(screen: Screen, width: int) -> tuple[StyledLine, ...]:
    """The words that work now, in as many lines as they need."""
    words = " | ".join(f"{key.key}: {key.label}" for key in screen.keys)
    if len(words) > 2 * width:
        words = "Words: " + ", ".join(key.key for key in screen.keys)
    return tuple(_block(words, width, "keys"))


def aside_lines(bars: tuple[Bar, ...], width: int = ASIDE_WIDTH) -> tuple[StyledLine, ...]:
    """The likely causes: a bar, a figure and a title each."""
    lines = [StyledLine("Likely causes", "heading"), StyledLine("")]
    for bar in bars:
        filled = round(bar.share * 10)
        moved = _moved_in_words(bar.moved)
        row = f"{'#' * filled}{'.' * (10 - filled)} {percent(bar.share):>5}{moved}"
        lines.append(StyledLine(_plain_spaces(row), "bar"))
        lines += _block(f"  {bar.title}", width, "body", "  ")
    return tuple(lines)


def _moved_in_words(moved: float | None) -> str:
    """How far the last answer moved a cause, in points of a hundred; nothing where it hardly did."""
    points = round((moved or 0.0) * 100)
    return "" if not points else f"  {'up' if points > 0 else 'down'} {abs(points)}"


def _hang(words: str) -> str:
    """The indent for the lines after the first: under the text, not under its number or its own indent."""
    stripped = words.lstrip()
    return " " * (len(words) - len(stripped) + (3 if stripped[:1].isdecimal() else 0))


def _block(text: str, width: int, role: str, hang: str = "") -> list[StyledLine]:
    if not text:
        return []
    wrapped = wrap(text, max(width, 16), subsequent_indent=hang, break_on_hyphens=False, drop_whitespace=True)
    return [StyledLine(_plain_spaces(row), role) for row in wrapped]


def _plain_spaces(row: str) -> str:
    """Spaces that must not break have done their work once the lines are broken."""
    return row.replace("\u00a0", " ")
