"""A screen laid out in lines of a given width, each with the role that gives it its look.

Meaning is in the words and marks; the roles only add to it, so the same lines serve a terminal without
colour, a screen reader and a pipe.
"""

from __future__ import annotations

from dataclasses import dataclass
from textwrap import wrap

from kickover.session.wording import percent
from kickover.ui.screen import Bar, Screen, Table

ASIDE_FROM = 100
"""From this many columns on, the likely causes stand beside the question."""
ASIDE_WIDTH = 38
_BAR = 10


@dataclass(frozen=True, slots=True)
class StyledLine:
    """One line of text and its role."""

    text: str
    role: str = ""


def laid_out(
    screen: Screen, width: int, message: str = "", picked: int | None = None
) -> tuple[StyledLine, ...]:
    """The screen from top to bottom, nothing wider than `width`, choices last; `picked` is marked."""
    lines: list[StyledLine] = _block(screen.heading, width, "heading")
    for stop in screen.stops:
        lines += _block(f"STOP: {stop}", width, "stop")
    lines.append(StyledLine(""))
    lines += _block(screen.lead, width, "lead")
    for caution in screen.cautions:
        lines += _block(f"! {caution}", width, "caution", "  ")
    lines += _block(f"! {screen.reminder}" if screen.reminder else "", width, "caution", "  ")
    lines += share_lines(screen.shares, width)
    for words in screen.body:
        lines += _block(words, width, "body", _hang(words))
    lines += _table_lines(screen.table, width) if screen.table else []
    for number, step in enumerate(screen.how, start=1):
        mark = f"  {chr(96 + number)}) " if len(screen.how) > 1 else "  - "
        lines += _block(f"{mark}{step}", width, "how", " " * len(mark))
    lines += [StyledLine(f"  {row}"[:width], "sketch") for row in screen.sketch]
    for fact in screen.facts:
        lines += _block(f"  {fact}", width, "fact", "    ")
    if screen.choices:
        lines.append(StyledLine(""))
    widest = max((len(choice.key) for choice in screen.choices), default=0)
    for place, choice in enumerate(screen.choices):
        mark = f"{'>' if place == picked else ' '} {choice.key:>{widest}}  "
        role = "picked" if place == picked else "choice"
        lines += _block(f"{mark}{choice.label}", width, role, " " * len(mark))
    if message:
        lines += [StyledLine(""), *message_lines(message, width)]
    return tuple(lines)


def share_lines(shares: tuple[Bar, ...], width: int) -> list[StyledLine]:
    """Causes in columns: a bar, a figure, a title."""
    lines: list[StyledLine] = []
    for bar in shares:
        filled = round(bar.share * _BAR)
        mark = f"{'#' * filled}{'.' * (_BAR - filled)} {_plain_spaces(percent(bar.share)):>5}  "
        lines += _block(f"{mark}{bar.title}", width, "bar", " " * len(mark))
    return lines


def _table_lines(table: Table, width: int) -> list[StyledLine]:
    """Rows with their titles at the left, wrapped as needed, and their cells at the right."""
    cells = [tuple(map(_plain_spaces, row[1:])) for row in (table.heads, *table.rows)]
    wide = [max(len(row[column]) for row in cells) for column in range(len(cells[0]))]
    taken = sum(wide) + 2 * len(wide)
    left = max(min(width - taken, max(len(row[0]) for row in (table.heads, *table.rows))), 10)
    lines = [StyledLine("")]
    for number, (row, short) in enumerate(zip((table.heads, *table.rows), cells, strict=True)):
        titles = wrap(row[0], left, subsequent_indent="  ", break_on_hyphens=False) or [""]
        right = "".join(f"  {cell:>{size}}" for cell, size in zip(short, wide, strict=True))
        role = "heading" if number == 0 else "body"
        lines.append(StyledLine(f"{titles[0]:{left}}{right}"[:width], role))
        lines += [StyledLine(title, role) for title in titles[1:]]
    return [*lines, StyledLine("")]


def message_lines(message: str, width: int) -> tuple[StyledLine, ...]:
    """What answers the last line; no line where there is nothing to say."""
    return tuple(_block(f"> {message}", width, "message", "  ")) if message else ()


def keys_line(screen: Screen, width: int) -> tuple[StyledLine, ...]:
    """The words that work now, in as many lines as they need."""
    words = " | ".join(f"{key.key}: {key.label}" for key in screen.keys)
    if len(words) > width or not all(key.label for key in screen.keys):
        words = ", ".join(key.key for key in screen.keys)
    return tuple(_block(words, width, "keys"))


def aside_lines(bars: tuple[Bar, ...], width: int = ASIDE_WIDTH) -> tuple[StyledLine, ...]:
    """The likely causes: a bar, a figure and a title each."""
    lines = [StyledLine("Likely causes", "heading"), StyledLine("")]
    for bar in bars:
        filled = round(bar.share * _BAR)
        moved = _moved_in_words(bar.moved)
        row = f"{'#' * filled}{'.' * (_BAR - filled)} {percent(bar.share):>5}{moved}"
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
