"""What people type, or paste by mistake, made fit to be kept and shown again."""

from __future__ import annotations

import unicodedata

LONGEST = 400
"""Characters of one line that are taken; nobody answers with more."""

_UNFIT = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})


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
