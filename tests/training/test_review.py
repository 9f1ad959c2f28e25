"""The review: a learner who follows the plan loses nothing, and others are told what they gave away."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kickover.core.ids import EventId
from kickover.training.assessment import ChoiceVerdict, Review, review
from kickover.training.best_plan import Planner, minutes_of
from kickover.training.drill_screens import report
from kickover.training.practice import Practice, PracticeStage
from kickover.training.workbench import Kind, offers
from worlds.drill_library import practice


def looked_back(done: Practice) -> Review:
    return review(done, Planner())


@settings(deadline=None, max_examples=10)
@given(st.integers(0, 10**6), st.sampled_from([1, 2, 3]))
def test_following_the_plan_costs_what_the_plan_costs(seed: int, level: int) -> None:
    drilled = practice(level=level, seed=seed)
    planned = Planner().walk(drilled.engine, drilled.session)
    looked = looked_back(planned)
    assert looked.minutes == pytest.approx(looked.planned)
    assert looked.practice.dangers == ()
    assert all(choice.verdict in {ChoiceVerdict.GOOD, ChoiceVerdict.DONE} for choice in looked.choices)
    assert looked.given_away == 0.0


@settings(deadline=None, max_examples=10)
@given(st.integers(0, 10**6))
def test_nobody_is_quicker_than_one_who_knows(seed: int) -> None:
    drilled = practice(level=2, seed=seed)
    looked = looked_back(Planner().walk(drilled.engine, drilled.session))
    assert looked.straight <= looked.planned + 1e-9


@settings(deadline=None, max_examples=10)
@given(st.integers(0, 10**6), st.sampled_from([1, 2, 3]), st.data())
def test_expected_given_away_and_luck_come_to_the_minutes(seed: int, level: int, data: st.DataObject) -> None:
    done = practice(level=level, seed=seed)
    for _ in range(data.draw(st.integers(1, 5))):
        if done.stage is not PracticeStage.CHOOSE:
            break
        offer = data.draw(st.sampled_from([one for one in offers(done.session) if one.kind is not Kind.JOB]))
        done = done.check(offer.id) if offer.kind is Kind.CHECK else done.repair(offer.id)
        while done.stage is PracticeStage.PROVE:
            done = done.try_it()
            for danger in done.moves[-1].dangers:
                done = done.job(danger.setup)
    if done.stage is PracticeStage.CHOOSE:
        done = done.give_up()
    looked = looked_back(done)
    assert looked.expected + looked.given_away + looked.luck == pytest.approx(looked.minutes, abs=1e-6)
    assert all(choice.given_away >= 0.0 for choice in looked.choices)


def test_what_is_mastered() -> None:
    drilled = practice("switch-shorted")
    assert looked_back(Planner().walk(drilled.engine, drilled.session)).mastered
    slow = practice("switch-shorted").repair("new-rings").try_it().repair("new-switch").try_it()
    assert not looked_back(slow).mastered
    careless = practice("plug-fouled").check("plug-look").check("spark-at-plug").job("fuel-vapour")
    assert not looked_back(careless.repair("new-plug").try_it()).mastered
    assert not looked_back(practice("plug-fouled").give_up()).mastered


def test_a_lucky_guess_is_told_as_luck_and_not_as_a_good_choice() -> None:
    guessed = practice("rings-worn").name(EventId("rings-worn")).try_it()
    looked = looked_back(guessed)
    assert looked.practice.cured
    assert looked.given_away > 10
    assert looked.luck < 0
    assert not looked.mastered


def test_a_repair_of_what_cannot_be_is_slower_than_the_best_and_says_what_was() -> None:
    looked = looked_back(
        practice("switch-shorted").repair("new-rings").try_it().repair("new-switch").try_it()
    )
    first = looked.choices[0]
    assert first.verdict is ChoiceVerdict.SLOWER
    assert first.given_away > 30
    said = "\n".join(report(looked).body)
    assert "New rings (60 minutes): gave away about" in said
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
    for words in (
        "So your minutes: 15",
        "Dangerous choices: 1",
        "Straight to the repair",
        "It could have told",
    ):
        assert words in lines


def test_a_lie_of_the_owner_is_told_at_the_end() -> None:
    seed = next(seed for seed in range(50) if practice(level=5, seed=seed).engine.lied("story"))  # type: ignore[arg-type]
    done = practice(level=5, seed=seed).check("story").give_up()
    assert "   The owner's answer was not true." in report(looked_back(done)).body
