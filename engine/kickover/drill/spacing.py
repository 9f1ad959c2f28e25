"""When an exercise comes back: sooner after it went wrong, later and later after it went right.

The SM-2 rule of P. A. Woźniak, "Optimization of learning", master's thesis, University of Technology in
Poznań, 1990 (from memory): the first interval is 1 day, the second 6 days, and each further one the one
before times an ease factor, rounded up. The ease starts at 2.5 and changes with every grade q from 0 to 5 by
0.1 - (5 - q)(0.08 + (5 - q) 0.02), never falling below 1.3. A grade below 3 starts the intervals anew and
leaves the ease as it is. The ease is changed first, then the interval is worked out with it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

FIRST_DAYS = 1
SECOND_DAYS = 6
START_EASE = 2.5
LEAST_EASE = 1.3
PASSED = 3


@dataclass(frozen=True, slots=True)
class Schedule:
    """Where an exercise stands: times passed in a row, the days until it comes back, and its ease factor."""

    passed: int = 0
    days: int = 0
    ease: float = START_EASE

    def after(self, grade: int) -> Schedule:
        """The schedule after one more try with a grade from 0 to 5."""
        if grade < PASSED:
            return Schedule(0, FIRST_DAYS, self.ease)
        ease = max(LEAST_EASE, self.ease + 0.1 - (5 - grade) * (0.08 + (5 - grade) * 0.02))
        if self.passed == 0:
            days = FIRST_DAYS
        elif self.passed == 1:
            days = SECOND_DAYS
        else:
            days = ceil(self.days * ease)
        return Schedule(self.passed + 1, days, ease)


def schedule(grades: Iterable[int]) -> Schedule:
    """The schedule after grades in the order in which they were earned."""
    now = Schedule()
    for grade in grades:
        now = now.after(grade)
    return now


def due(last: date, standing: Schedule) -> date:
    """The day on which an exercise comes back, having been tried last on `last`."""
    return last + timedelta(days=standing.days)
