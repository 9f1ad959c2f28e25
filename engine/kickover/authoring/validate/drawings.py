"""Reviews of drawings: numbers that can be read, and places that some step is at."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from math import dist

from kickover.authoring.validate.context import ValidationContext, at
from kickover.core.problem import Problem
from kickover.model.drawings import RING


def check_drawings(subject: ValidationContext) -> Iterator[Problem]:
    """Numbers of places that lie on each other or beyond the edge, and places that no step names."""
    library = subject.library
    needs = [step.needs for step in library.checks.values()]
    needs += [step.needs for step in library.repairs.values()]
    needs += [step.needs for step in library.setups.values()]
    named = {place for one in needs for place in one.shown_at}
    for drawing in library.drawings.values():
        for name, place in drawing.places.items():
            trail = ("drawings", drawing.id, "places", name)
            if not all(RING <= one <= most - RING for one, most in zip(place.at, drawing.size, strict=True)):
                message = f"the number of `{name}` lies over the edge of `{drawing.id}`"
                yield at(drawing.place, message, "move its `at`, or make the drawing larger", *trail, "at")
            if name not in named and name not in subject.spoken_of:
                message = f"no check, repair or setup is at the place `{name}`"
                hint = f"write `shown_at: [{name}]` at a step, or delete it"
                yield at(drawing.place, message, hint, *trail)
        for (one, first), (other, second) in combinations(drawing.places.items(), 2):
            if dist(first.at, second.at) < 2 * RING - 0.5:
                message = f"the numbers of `{one}` and `{other}` lie on each other in `{drawing.id}`"
                yield at(drawing.place, message, "move one of them", "drawings", drawing.id, "places", one)
