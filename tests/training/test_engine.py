"""The hidden engine: drawn by rate, and showing what the model says that it shows."""

from __future__ import annotations

from collections import Counter
from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kickover.core.ids import CheckId, EventId, RepairId
from kickover.inference.compiled_model import EngineState
from kickover.inference.soft_evidence import standard_error
from kickover.session.entries import Answered, Measured
from kickover.training.hidden_engine import DrillError, HiddenEngine
from worlds.drill_library import engine, start

DRAWS = 3000


def state(complaint: str = "will-not-start") -> EngineState:
    return EngineState(start(complaint).job.houses)


def reading(level: int, seed: int, *faults: str, attempt: int = 0) -> float:
    answer = engine(level, seed, faults).answer(CheckId("compression"), state(), attempt)
    assert isinstance(answer, Measured)
    assert answer.low == answer.high
    return answer.low


@settings(deadline=None)
@given(st.integers(0, 10**9), st.sampled_from([1, 2, 3]))
def test_the_same_seed_gives_the_same_engine_and_the_same_answers(seed: int, level: int) -> None:
    one, other = engine(level, seed), engine(level, seed)
    assert one.causes == other.causes
    for check in one.model.checks:
        assert one.answer(check, state()) == other.answer(check, state())


def test_faults_are_drawn_by_their_rates() -> None:
    """Rates 3, 2 and 0.3 with a factor of 2 for the cold and a weak link of 0.6: 3 : 2 : 0.36."""
    counts = Counter(engine(2, seed).causes[0] for seed in range(DRAWS))
    for cause, weight in (("plug-fouled", 3.0), ("switch-shorted", 2.0), ("rings-worn", 0.36)):
        share = weight / 5.36
        assert abs(counts[EventId(cause)] / DRAWS - share) < 4 * sqrt(share * (1 - share) / DRAWS), cause


def test_findings_fall_with_the_chances_of_the_model() -> None:
    counts: Counter[str] = Counter()
    for seed in range(DRAWS):
        answer = engine(2, seed, ("plug-fouled",)).answer(CheckId("spark-at-plug"), state())
        assert isinstance(answer, Answered)
        counts[answer.finding] += 1
    assert abs(counts["none"] / DRAWS - 0.9) < 4 * sqrt(0.9 * 0.1 / DRAWS)


@settings(deadline=None)
@given(st.integers(0, 10**6))
def test_at_the_first_level_every_answer_is_the_likeliest_and_every_reading_is_in_its_band(seed: int) -> None:
    answer = engine(1, seed, ("switch-shorted",)).answer(CheckId("spark-at-plug"), state())
    assert answer == Answered("spark-at-plug", "none")
    assert reading(1, seed, "switch-shorted") >= 6.4
    assert reading(1, seed, "rings-worn") < 6.4


def test_a_reading_is_blurred_by_the_error_of_its_instrument() -> None:
    gauge = start().model.checks[CheckId("compression")].reading
    assert gauge is not None
    first = [reading(3, 5, "plug-fouled", attempt=attempt) for attempt in range(400)]
    mean = sum(first) / len(first)
    spread = sqrt(sum((value - mean) ** 2 for value in first) / len(first))
    wanted = 3.0 * standard_error(gauge, mean)
    assert abs(spread / wanted - 1.0) < 4 / sqrt(2 * 400) + 0.03


def test_a_reading_is_shown_to_the_digits_that_its_error_allows() -> None:
    assert all(
        round(reading(2, seed, "plug-fouled"), 1) == reading(2, seed, "plug-fouled") for seed in range(50)
    )


def test_only_at_the_level_of_lies_do_owners_lie_and_only_in_what_they_are_asked() -> None:
    story, spark = CheckId("story"), CheckId("spark-at-plug")
    assert not any(engine(2, seed).lied(story) for seed in range(200))
    liars = sum(engine(5, seed).lied(story) for seed in range(DRAWS))
    assert abs(liars / DRAWS - 0.35) < 4 * sqrt(0.35 * 0.65 / DRAWS)
    assert not any(engine(5, seed).lied(spark) for seed in range(200))


def curing(hidden: HiddenEngine, cause: str) -> RepairId:
    repairs = hidden.model.repairs.items()
    return next(id_ for id_, repair in repairs if set(repair.cures) & set(hidden.causes) == {cause})


def test_the_complaint_is_gone_when_every_fault_that_keeps_it_up_is_mended() -> None:
    both = engine(4, 3, ("plug-fouled", "switch-shorted"))
    assert set(both.causes) == {"plug-fouled", "switch-shorted"}
    of_plug, of_switch = (curing(both, cause) for cause in ("plug-fouled", "switch-shorted"))
    assert not both.gone({of_plug})
    assert both.gone({of_plug, of_switch})


def test_two_faults_are_such_that_each_alone_keeps_the_complaint_up() -> None:
    for seed in range(60):
        hidden = engine(4, seed)
        assert not any(hidden.gone({curing(hidden, cause)}) for cause in hidden.causes)


def test_faults_that_never_show_as_the_complaint_are_refused() -> None:
    with pytest.raises(DrillError, match="bring will-not-start about on moped"):
        engine(2, 0, ("brake-drags",))
