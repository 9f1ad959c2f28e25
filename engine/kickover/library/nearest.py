"""The known name that is nearest to an unknown one, for the mend of a problem."""

from __future__ import annotations

import difflib
from collections.abc import Collection

_MANY = 2_000


def nearest(name: str, known: Collection[str]) -> str:
    """Give the known name most like `name`, or nothing when none is much like it.

    Among very many names only those with the same first letter and about the same length are weighed, so
    that a library with many mistakes is still judged quickly.
    """
    pool = known
    if len(known) > _MANY:
        pool = [one for one in known if one[:1] == name[:1] and abs(len(one) - len(name)) <= 1][:_MANY]
    close = difflib.get_close_matches(name, pool, n=1, cutoff=0.6)
    return close[0] if close else ""
