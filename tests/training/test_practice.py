"""The work of a drill: minutes, dangers, repairs, and naming the cause."""

from __future__ import annotations

import pytest

from kickover.core.ids import EventId
from kickover.training.hidden_engine import DrillError
from kickover.training.practice import PracticeStage
from worlds.drill_library import practice


def test_a_check_costs_its_minutes_and_those_of_its_preparations() -> None:
    after = practice("plug-fouled").check("spark-at-plug")
    assert after.session.minutes == 3 + 3
    assert after.moves[-1].outcome == (
        "First: Plug out (3 minutes).",
        "What does the spark look like? None at all.",
    )
    again = after.check("compression")
    assert again.moves[-1].minutes == 5


def test_a_spark_while_fuel_vapour_is_about_is_stopped_and_marked() -> None:
    wet = practice("plug-fouled").check("plug-look")
    assert wet.moves[-1].outcome[-1] == "Vapour."
    stopped = wet.check("spark-at-plug")
    assert [danger.setup for danger in stopped.dangers] == ["fuel-vapour"]
    assert "has to be ended first. No flame." in stopped.dangers[0].why
    assert stopped.session.minutes == wet.session.minutes
    assert stopped.session.evidence == wet.session.evidence


def test_the_spark_is_safe_once_the_vapour_was_ended() -> None:
    aired = practice("plug-fouled").check("plug-look").job("fuel-vapour").check("spark-at-plug")
    assert aired.dangers == ()
    assert aired.session.minutes == 3 + 1 + 5 + 3


def test_a_start_with_fuel_vapour_about_is_stopped_too() -> None:
    stopped = practice("plug-fouled").check("plug-look").repair("new-plug").try_it()
    assert [danger.setup for danger in stopped.dangers] == ["fuel-vapour"]
    assert stopped.stage is PracticeStage.PROVE


def test_a_ride_before_the_brakes_were_looked_over_is_stopped_and_marked() -> None:
    made = practice("brake-drags", complaint="no-power").repair("free-brake")
    stopped = made.try_it()
    assert [danger.setup for danger in stopped.dangers] == ["brakes-looked-over"]
    assert "Brakes: that comes first." in stopped.dangers[0].why
    ridden = made.job("brakes-looked-over").try_it()
    assert ridden.dangers == ()
    assert ridden.cured


def test_a_repair_of_one_cause_names_it_when_it_helped() -> None:
    done = practice("switch-shorted").repair("new-switch").try_it()
    assert done.stage is PracticeStage.OVER
    assert done.named == ("switch-shorted",)


def test_naming_a_cause_makes_its_quickest_repair() -> None:
    named = practice("switch-shorted").name(EventId("switch-shorted"))
    assert named.moves[-1].id == "new-switch"
    assert named.stage is PracticeStage.PROVE
    assert named.try_it().stage is PracticeStage.OVER


def test_a_cause_named_wrongly_costs_its_repair_and_the_drill_goes_on() -> None:
    wrong = practice("switch-shorted").name(EventId("plug-fouled")).try_it()
    assert wrong.stage is PracticeStage.CHOOSE
    assert wrong.wrongly_named == ("plug-fouled",)
    assert wrong.session.minutes == 3 + 5 + 1


def test_one_of_two_faults_mended_is_not_yet_a_cure() -> None:
    first = practice("switch-shorted", "plug-fouled", level=4).name(EventId("switch-shorted")).try_it()
    assert first.stage is PracticeStage.CHOOSE
    assert "Something else is wrong besides" in first.moves[-1].outcome[-1]
    assert first.name(EventId("plug-fouled")).try_it().stage is PracticeStage.OVER


def test_what_is_not_on_offer_is_refused_in_words() -> None:
    begun = practice("plug-fouled")
    for wrong, name in (
        (begun.check, "no-such-check"),
        (begun.repair, "no-such-repair"),
        (begun.job, "plug-out"),
    ):
        with pytest.raises(DrillError):
            wrong(name)
    with pytest.raises(DrillError, match="nothing to try"):
        begun.try_it()
