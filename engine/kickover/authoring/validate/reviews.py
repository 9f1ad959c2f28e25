"""What a library means, judged by a list of small reviews, each of which yields problems.

Runs after loading and before anything is reasoned. It changes nothing, and judges only what one can be
sure of; that a likelihood is wrong is for people to see.
"""

from __future__ import annotations

from collections.abc import Set

from kickover.authoring.validate import measurement, names, probabilities, safety, separation, tree, work
from kickover.authoring.validate.context import ValidationContext
from kickover.core.problem import Problem
from kickover.model.library import Library

_SUBJECTS = (names, tree, probabilities, separation, measurement, work, safety)


def review(library: Library, spoken_of: Set[str] = frozenset()) -> tuple[Problem, ...]:
    """Judge what the library means; give all problems, sorted by file and line.

    Ids in `spoken_of` are named in parts that could not be read; what is said of them is not judged.
    """
    subject = ValidationContext(library, spoken_of)
    reviews = (check for module in _SUBJECTS for check in module.REVIEWS)
    return tuple(sorted({problem for check in reviews for problem in check(subject)}))
