"""A case that cannot be is named with what would mend it; one that can be passes."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from numpy.random import default_rng

from kickover.core.ids import MachineId
from kickover.learning.case import Case, Confirmed, MeasuredFinding, Seen
from kickover.learning.likely_causes import Grounds
from kickover.learning.vetting import objections
from kickover.model.library import Library
from learning.simulated import grounds_of, simulate
from worlds.shop_library import shop_library
from worlds.tiny_library import base_library

TODAY = date(2026, 4, 1)
GOOD = Case(
    id="a",
    date="2026-03-01",
    machine="moped",
    complaints=("will-not-start",),
    given=(),
    causes=(("plug-fouled",),),
    seen=(Seen("plug-look", (("sooty", 1.0),)),),
)


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return shop_library(tmp_path_factory.mktemp("shop"))


@pytest.fixture(scope="module")
def grounds(library: Library) -> Grounds:
    return grounds_of(library)


def said_of(case: Case, grounds: Grounds) -> list[str]:
    return [str(objection) for objection in objections(case, grounds, TODAY)]


@pytest.mark.parametrize(
    "case",
    [
        GOOD,
        replace(GOOD, causes=(("plug-fouled", "tap-shut"),)),
        replace(
            GOOD, causes=(("plug-fouled",), ("gap-wide",)), confirmed=Confirmed.REPAIR, repair="new-plug"
        ),
        replace(
            GOOD, seen=(Seen("compression", (("low", 0.4), ("good", 0.6)), MeasuredFinding(6.4, 6.4, "bar")),)
        ),
        replace(GOOD, seen=(*GOOD.seen, Seen("plug-look", (("wet", 1.0),), state=("stood-months",)))),
        replace(GOOD, date="2026-04-01", minutes=0.0),
    ],
)
def test_a_case_that_can_be_passes(case: Case, grounds: Grounds) -> None:
    assert said_of(case, grounds) == []


def test_every_case_drawn_from_the_model_passes(library: Library, grounds: Grounds) -> None:
    machine = library.machines[MachineId("moped")]
    drawn = simulate(library, machine, "runs-badly", 100, default_rng(1), checks=["plug-look", "lead-off"])
    assert [said_of(case, grounds) for case in drawn] == [[]] * 100


@pytest.mark.parametrize(
    ("case", "said"),
    [
        (replace(GOOD, date="1 March"), "'1 March' is no date; write it as 2026-03-31"),
        (replace(GOOD, date="2026-02-30"), "'2026-02-30' is no date; write it as 2026-03-31"),
        (replace(GOOD, date="2026-04-02"), "the date 2026-04-02 has not come yet; mend the year"),
        (replace(GOOD, id="a\nb"), "the id 'a\\nb' cannot be; write one line"),
        (replace(GOOD, minutes=-1.0), "-1 minutes cannot be; write a number from 0 to 100000, or nothing"),
        (
            replace(GOOD, minutes=float("nan")),
            "nan minutes cannot be; write a number from 0 to 100000, or nothing",
        ),
        (replace(GOOD, complaints=()), "there is no complaint; name what was reported"),
        (replace(GOOD, causes=()), "there is no confirmed cause; name it, or leave the case out"),
        (
            replace(GOOD, causes=(("plug-foulde",),)),
            "there is no cause called 'plug-foulde'; did you mean 'plug-f",
        ),
        (replace(GOOD, complaints=("wont-start",)), "there is no complaint called 'wont-start'"),
        (replace(GOOD, given=("raining",)), "there is no situation called 'raining'"),
        (replace(GOOD, repair="pray"), "there is no repair called 'pray'"),
        (replace(GOOD, seen=(Seen("look-plug", (("wet", 1.0),)),)), "there is no check called 'look-plug'"),
        (
            replace(GOOD, seen=(Seen("plug-look", (("soot", 1.0),)),)),
            "there is no finding of 'plug-look' called 'soot'; did you mean 'sooty'?",
        ),
        (
            replace(GOOD, machine="step-through", seen=(Seen("points-look", (("yes", 1.0),)),)),
            "check 'points-look' is not for Step-through; mend the machine or the check",
        ),
        (
            replace(GOOD, seen=(*GOOD.seen, Seen("plug-look", (("wet", 1.0),)))),
            "check 'plug-look' is there as 'sooty' and as 'wet'; keep the one that was right",
        ),
        (
            replace(GOOD, confirmed=Confirmed.REPAIR, repair="new-coil"),
            "repair 'new-coil' does not cure 'plug-fouled'; mend the repair or the cause",
        ),
        (
            replace(GOOD, causes=(("air-leak",),)),
            "'air-leak' alone does not bring 'will-not-start' there; mend the cause, the complaint",
        ),
        (
            replace(GOOD, machine="step-through", causes=(("points-dirty",),)),
            "Step-through cannot have the cause 'points-dirty'; mend the machine or the cause",
        ),
    ],
)
def test_a_case_that_cannot_be_is_named(case: Case, said: str, grounds: Grounds) -> None:
    (found,) = said_of(case, grounds)
    assert found.startswith(said)


def test_situations_that_exclude_each_other_are_named(tmp_path: Path) -> None:
    grounds = grounds_of(base_library(tmp_path / "base"))
    case = replace(GOOD, given=("engine-cold", "engine-hot"), seen=())
    assert said_of(case, grounds) == ["'engine-cold' and 'engine-hot' cannot both be true; keep one of them"]
