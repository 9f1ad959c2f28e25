"""Picking from a numbered list: by numbers, spans, ids or a part of a title; the near one where none fits."""

from __future__ import annotations

from collections.abc import Sequence

from kickover.core.near_names import nearest
from kickover.session.interpreting import shown


def picked(said: str, ids: Sequence[str], titles: Sequence[str]) -> int | None:
    """The place of the choice meant by a number, an id or a part of a title; None where that is not clear."""
    word = said.lower()
    if word.isdecimal():
        return int(word) - 1 if len(word) < 4 and 1 <= int(word) <= len(ids) else None
    if not word:
        return None
    if word in ids:
        return list(ids).index(word)
    spoken = [title.lower() for title in titles]
    for fits in (str.startswith, str.__contains__):
        found = {place for group in (ids, spoken) for place, known in enumerate(group) if fits(known, word)}
        if len(found) == 1:
            return found.pop()
    return None


def places(said: str, count: int) -> tuple[int, ...] | None:
    """Places from numbers and spans such as `1 3-6`, each once; None where one does not fit."""
    found: list[int] = []
    for part in said.replace(",", " ").split():
        first, dash, last = part.partition("-")
        if not _small(first) or (dash and not _small(last)):
            return None
        span = range(int(first), int(last or first) + 1)
        if not span or span[0] < 1 or span[-1] > count:
            return None
        found += [number - 1 for number in span]
    return tuple(dict.fromkeys(found))


def not_picked(said: str, ids: Sequence[str], titles: Sequence[str]) -> str:
    """What to answer when nothing was picked: the nearest choice, or what can be typed."""
    if not said:
        return f"Type a number from 1 to {len(ids)}."
    words = {title.lower(): title for title in titles}
    near = nearest(said.lower(), [*ids, *words])
    hint = f"did you mean {near}?" if near else f"type a number from 1 to {len(ids)}."
    several = sum(said.lower() in title for title in words)
    state = "fits several" if several > 1 else "is none of them"
    return f"{shown(said)} {state}; {hint}"


def _small(text: str) -> bool:
    return text.isdecimal() and len(text) < 4
