"""The review: a learner who follows the plan loses nothing, and others are told what they gave away."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kickover.core.ids import EventId
from kickover.training.assessment import ChoiceVerdict, Review, review
from kickover.training.assessment_screens import report
from kickover.training.best_plan import Planner, minutes_of
from kickover.training.practice import Practice, PracticeStage
from worlds.drill_library import practice


def looked_back(done: Practice) -> Review:
    return review(done, (), Planner(), engines=5)


@settings(deadline=None, max_examples=25)
@given(st.integers(0, 10**6), st.sampled_from([1, 2, 3]))
def test_following_the_plan_costs_what_the_plan_costs(seed: int, level: int) -> None:
    drilled = practice(level=level, seed=seed)
    planned = Planner().walk(drilled.engine, drilled.session)
    looked = looked_back(planned)
    assert looked.minutes == pytest.approx(looked.planned)
    assert looked.practice.dangers == ()
    assert all(choice.verdict in {ChoiceVerdict.GOOD, ChoiceVerdict.DONE} for choice in looked.choices)
    assert {choice.lost for choice in looked.choices} == {0.0}


@settings(deadline=None, max_examples=25)
@given(st.integers(0, 10**6))
def test_nobody_is_quicker_than_one_who_knows(seed: int) -> None:
    drilled = practice(level=2, seed=seed)
    looked = looked_back(Planner().walk(drilled.engine, drilled.session))
    assert looked.straight <= looked.planned + 1e-9


def test_grades_fall_with_what_went_wrong() -> None:
    straight = practice("switch-shorted").repair("new-switch").try_it()
    assert looked_back(straight).grade == 5
    slow = practice("switch-shorted").repair("new-rings").try_it().repair("new-switch").try_it()
    assert looked_back(slow).grade == 3
    guessed = practice("switch-shorted").name(EventId("plug-fouled")).try_it().repair("new-switch").try_it()
    assert looked_back(guessed).grade == 2
    careless = practice("plug-fouled").check("plug-look").check("spark-at-plug").job("fuel-vapour")
    assert looked_back(careless.repair("new-plug").try_it()).grade == 1
    assert looked_back(practice("plug-fouled").give_up()).grade == 0


def test_a_repair_of_what_cannot_be_is_slower_than_the_best_and_says_what_was() -> None:
    looked = looked_back(
        practice("switch-shorted").repair("new-rings").try_it().repair("new-switch").try_it()
    )
    first = looked.choices[0]
    assert first.verdict is ChoiceVerdict.SLOWER
    assert first.lost > 30
    said = "\n".join(report(looked).body)
    assert "New rings (60 minutes): about" in said
    assert "Better: " in said


def test_giving_up_costs_what_the_library_says() -> None:
    done = practice("plug-fouled").give_up()
    assert done.stage is PracticeStage.OVER
    assert minutes_of(done) == 180


def test_a_check_made_again_that_tells_nothing_is_needless() -> None:
    done = practice("plug-fouled").check("spark-at-plug").check("spark-at-plug").repair("new-plug").try_it()
    assert looked_back(done).choices[1].verdict is ChoiceVerdict.NEEDLESS


def test_the_report_names_faults_minutes_and_dangers() -> None:
    done = practice("plug-fouled").check("plug-look").check("spark-at-plug").job("fuel-vapour")
    said = report(looked_back(done.repair("new-plug").try_it()))
    assert said.heading == "Review: it was plug fouled"
    lines = "\n".join(said.body)
    for words in ("Your minutes: 15", "Dangerous choices: 1", "Straight to the repair", "It could have told"):
        assert words in lines


def test_a_lie_of_the_owner_is_told_at_the_end() -> None:
    seed = next(seed for seed in range(50) if practice(level=5, seed=seed).engine.lied("story"))  # type: ignore[arg-type]
    done = practice(level=5, seed=seed).check("story").give_up()
    assert "   The owner's answer was not true." in report(looked_back(done)).body
