"""What a library means, judged by a list of small reviews, each of which yields problems.

Runs after loading and before anything is reasoned. It changes nothing, and judges only what one can be
sure of; that a likelihood is wrong is for people to see.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Set

from kickover.authoring.validate.context import ValidationContext
from kickover.authoring.validate.drawings import check_drawings
from kickover.authoring.validate.measurement import (
    check_agreement,
    check_exclusive_traits,
    check_figures,
    check_finished_to,
    check_readings,
)
from kickover.authoring.validate.names import check_names
from kickover.authoring.validate.probabilities import check_chances, check_lines, check_rates
from kickover.authoring.validate.safety import (
    check_cautions,
    check_implied,
    check_leaving_steps,
    check_road,
    check_spark_steps,
)
from kickover.authoring.validate.separation import check_separated, check_useful_checks
from kickover.authoring.validate.tree import (
    check_brings,
    check_complaints,
    check_gates,
    check_loops,
    check_reached,
    check_under,
)
from kickover.authoring.validate.work import (
    check_answers,
    check_houses,
    check_lessons,
    check_minutes,
    check_repairs,
    check_services,
    check_setups,
    check_sketches,
)
from kickover.core.problem import Problem
from kickover.model.library import Library

REVIEWS: tuple[Callable[[ValidationContext], Iterator[Problem]], ...] = (
    check_names,
    check_loops,
    check_gates,
    check_reached,
    check_complaints,
    check_rates,
    check_brings,
    check_under,
    check_chances,
    check_lines,
    check_separated,
    check_useful_checks,
    check_figures,
    check_agreement,
    check_readings,
    check_finished_to,
    check_exclusive_traits,
    check_repairs,
    check_setups,
    check_houses,
    check_answers,
    check_sketches,
    check_drawings,
    check_spark_steps,
    check_leaving_steps,
    check_cautions,
    check_implied,
    check_road,
    check_lessons,
    check_minutes,
    check_services,
)


def review(library: Library, spoken_of: Set[str] = frozenset()) -> tuple[Problem, ...]:
    """Judge what the library means; give all problems, sorted by file and line.

    Ids in `spoken_of` are named in parts that could not be read; what is said of them is not judged.
    """
    subject = ValidationContext(library, spoken_of)
    return tuple(sorted({problem for one in REVIEWS for problem in one(subject)}))
