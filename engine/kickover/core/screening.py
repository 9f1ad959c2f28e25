"""What may be sent to a screen or a page: no control, no format, no invisible character passes as itself."""

from __future__ import annotations

import re
import unicodedata
from typing import Any

_UNSENT = re.compile(
    "[\x00-\x09\x0b-\x1f\x7f-\x9f\xad\u061c\u115f\u1160\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f\u3164"
    "\ud800-\udfff\ufeff\uffa0\ufff9-\ufffb\U000e0000-\U000e0fff]"
)
"""Control characters but the line feed, those without width, those that turn the order of letters, tags."""

_BLANK = frozenset("\u115f\u1160\u2800\u3164\uffa0")
"""Letters and symbols by their category, of which nothing is seen."""


def screened(text: str) -> str:
    """The text with each character that must not be sent shown by its number, such as `[U+001B]`.

    Line feeds stay, and the line ends of other systems become them.
    """
    return _UNSENT.sub(_shown, text.replace("\r\n", "\n"))


def unsent(text: str) -> str:
    """The first character of a text that must not be sent, by its number; empty when there is none."""
    found = _UNSENT.search(text)
    return f"U+{ord(found[0]):04X}" if found else ""


def cut_short(text: str, longest: int = 300) -> str:
    """A message that quotes what somebody wrote, no longer than can be read."""
    return text if len(text) <= longest else f"{text[: longest - 3]}..."


def seen(text: str) -> bool:
    """Whether anything of a text is seen: a letter, a number, a mark of punctuation, a symbol."""
    return any(unicodedata.category(one)[0] in "LNPS" and one not in _BLANK for one in text)


def _shown(found: re.Match[str]) -> str:
    return f"[U+{ord(found[0]):04X}]"


def screened_data(data: Any) -> Any:
    """Plain data with every text in it screened, keys too."""
    match data:
        case str():
            return screened(data)
        case dict():
            return {screened(str(key)): screened_data(value) for key, value in data.items()}
        case list() | tuple():
            return type(data)(map(screened_data, data))
    return data
