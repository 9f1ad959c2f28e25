"""What people type, or paste by mistake, made fit to be kept and shown again."""

from __future__ import annotations

import unicodedata

LONGEST = 400
"""Characters of one line that are taken; nobody answers with more."""

MOST_PASTED = 2_000
"""With more characters than this a line is no answer, but a paste that went wrong."""

_UNFIT = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})


def refusal(text: str) -> str:
    """What to say of a text too long for an answer, which is then not looked at; empty for any other."""
    if len(text) <= MOST_PASTED:
        return ""
    return (
        f"That is {len(text)} characters, and an answer has at most {MOST_PASTED}; nothing of it was taken:"
        " type it shorter."
    )


def cleaned(text: str) -> str:
    """One line without control, format and unassigned characters, single spaces, cut to `LONGEST`.

    Escape sequences lose what makes them one, so nothing that was pasted can steer a terminal.
    """
    kept = "".join(
        " " if unicodedata.category(letter) in _UNFIT else letter for letter in text[: 4 * LONGEST]
    )
    return " ".join(kept.split())[:LONGEST]


def shown(said: str, longest: int = 40) -> str:
    """What was typed, in quotes and not longer than can be read at a glance."""
    cut = said if len(said) <= longest else f"{said[: longest - 3]}..."
    return f"'{cut}'"
