"""What a library means, judged: a list of small reviews, each of which yields problems."""

from __future__ import annotations

from collections.abc import Set

from kickover.library.model import Library
from kickover.problem import Problem


def review(library: Library, spoken_of: Set[str] = frozenset()) -> tuple[Problem, ...]:
    """Judge what the library means; give all problems. Ids in `spoken_of` are not judged as unknown."""
    return ()
