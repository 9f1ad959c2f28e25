"""The known name that is nearest to an unknown one, for the mend of a problem."""

from __future__ import annotations

import difflib
import heapq
from collections.abc import Collection

_MANY = 500


def nearest(name: str, known: Collection[str]) -> str:
    """Give the known name most like `name`, or nothing when none is much like it.

    Among very many names only those that start most alike are weighed, so that it stays quick.
    """
    pool = known
    if len(known) > _MANY:
        pool = heapq.nlargest(_MANY, known, key=lambda one: _shared_start(one, name))
    close = difflib.get_close_matches(name, pool, n=1, cutoff=0.6)
    return close[0] if close else ""


def _shared_start(one: str, other: str) -> int:
    pairs = zip(one, other, strict=False)
    return next((count for count, (a, b) in enumerate(pairs) if a != b), min(len(one), len(other)))
