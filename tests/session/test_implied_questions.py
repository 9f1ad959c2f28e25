"""No question is asked whose answer the earlier ones already give, on the shipped library.

An answer is taken as given where all that was said before makes it 98 in 100 likely (own choice).
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest

from kickover.core.ids import CheckId
from kickover.inference.compiled_model import EngineState
from kickover.model.library import Library
from kickover.session.entries import Answered
from kickover.session.session import Phase, Session
from session.chance_rider import course, started

GIVEN = 0.98


def checks_asked(library: Library, number: int) -> Iterator[tuple[str, float]]:
    """The checks of one walk, each with the chance of its likeliest finding before it is answered."""
    for task, after in course(library, number):
        if task.phase is Phase.CHECK and after.before is not None:
            yield task.id, likeliest(after.before, CheckId(task.id))


def likeliest(session: Session, check: CheckId) -> float:
    """The chance of the finding that is most to be expected of a check now."""
    model = session.model
    state = EngineState(session.job.houses, session.belief.made)
    blind = np.eye(len(model.checks[check].findings)).tolist()
    return max(float(model.likelihood(check, tuple(row), state) @ session.belief.posterior) for row in blind)


@pytest.mark.parametrize(
    "walks", [range(6), pytest.param(range(6, 66), marks=pytest.mark.slow)], ids=["few", "many"]
)
def test_no_question_is_implied_by_earlier_answers(shipped: Library, walks: range) -> None:
    asked = [one for number in walks for one in checks_asked(shipped, number)]
    assert len(asked) >= 3 * len(walks)
    assert [one for one in asked if one[1] >= GIVEN] == []


@pytest.mark.parametrize("machine", ["points-moped", "four-stroke-49"])
def test_what_the_complaint_says_is_not_asked_and_still_counts_when_told(
    shipped: Library, machine: str
) -> None:
    walk = started(shipped, machine, "dies-when-hot")
    assert "when-it-fails" not in {step.id for step in walk.plan().steps}
    told = walk.record(Answered("when-it-fails", "cold"))
    assert told.belief.marginals() != walk.belief.marginals()
