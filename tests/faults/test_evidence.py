"""How much an answer may weigh, by kind of check: the table of `faults/evidence.yaml`, held to the checks.

The errors of looks and of memory behind the bounds have their sources there (inspection studies, recall of
events); the bounds themselves are estimates.
"""

from __future__ import annotations

from statistics import median

import pytest

from kickover.core.ids import CheckId
from kickover.model.library import Check, CheckKind
from worlds.shipped_library import shipped

LIBRARY = shipped()
MOST_FROM_MEMORY = 20.0

IN_VIEW = {
    "at-off": "it is done at once, and not remembered",
    "last-filling": "a can of diesel that one filled in oneself is not forgotten on the day",
    "what-comes-loose": "the part lies in the hand",
}
"""Questions that weigh more, and why."""


def strongest(check: Check) -> float:
    """The largest factor that an answer puts on the odds of anything against nothing of the kind."""
    usual = check.lines[-1].chances
    return max(line.chances[found] / usual[found] for line in check.lines[:-1] for found in usual)


def of_kind(*kinds: CheckKind) -> list[Check]:
    return [check for check in LIBRARY.checks.values() if check.kind in kinds]


@pytest.mark.parametrize("check", of_kind(CheckKind.QUESTION), ids=lambda check: check.id)
def test_no_answer_from_memory_decides_alone(check: Check) -> None:
    assert strongest(check) <= MOST_FROM_MEMORY or check.id in IN_VIEW


@pytest.mark.parametrize("check", IN_VIEW)
def test_a_question_that_weighs_more_does_so(check: str) -> None:
    assert strongest(LIBRARY.checks[CheckId(check)]) > MOST_FROM_MEMORY


def test_what_is_seen_or_tried_weighs_more_than_what_is_remembered() -> None:
    remembered = median(map(strongest, of_kind(CheckKind.QUESTION)))

    assert median(map(strongest, of_kind(CheckKind.LOOK))) > 2 * remembered
    assert median(map(strongest, of_kind(CheckKind.TRY))) > 2 * remembered


@pytest.mark.parametrize("check", ["fuse-look", "bulb-look", "float-shake", "lock-wire-look"])
def test_a_part_seen_broken_in_the_hand_weighs_most(check: str) -> None:
    assert strongest(LIBRARY.checks[CheckId(check)]) > 60


@pytest.mark.parametrize("check", ["strainer-look", "head-joint-look"])
def test_a_look_along_or_into_something_passes_a_third_over(check: str) -> None:
    """Schoonard 1973 (as quoted): 23 % passed over; Hrymak and Codd 2021: 44 to 64 %."""
    first = LIBRARY.checks[CheckId(check)].lines[0].chances
    usual = LIBRARY.checks[CheckId(check)].lines[-1].chances
    missed = first[max(usual, key=lambda found: usual[found])]

    assert 0.2 <= missed <= 0.64
