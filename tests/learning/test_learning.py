"""Learning recovers what cases were drawn from, and says when it does not help."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pytest

from kickover.core.ids import CheckId, MachineId
from kickover.learning.case import Case, Confirmed, Seen
from kickover.learning.learning import LearnedRates, LearningVerdict, Strength, learn_from
from kickover.learning.tally import GUESSED, TWO, UNEXPLAINED, UNKNOWN, tally
from kickover.model.library import Library
from learning.simulated import grounds_of, simulate, texts, with_chances, with_rates
from worlds.shop_library import shop_library

SHIFTED = {
    "plug-fouled": 2.0,
    "switch-shorted": 9.0,
    "jet-blocked": 9.0,
    "choke-left-on": 1.5,
    "air-leak": 6.0,
}
GROUNDS = (
    ("moped", "will-not-start", ()),
    ("moped", "will-not-start", ("stood-months",)),
    ("step-through", "will-not-start", ()),
    ("moped", "runs-badly", ()),
    ("step-through", "runs-badly", ("stood-months",)),
    ("moped", "smokes", ()),
)


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return shop_library(tmp_path_factory.mktemp("shop"))


def thousand(true: Library, seed: int, number: int = 1000, checks: tuple[str, ...] = ()) -> list[Case]:
    """About so many cases over all grounds."""
    random = np.random.default_rng(seed)
    found: list[Case] = []
    for machine, complaint, given in GROUNDS:
        known = true.machines[MachineId(machine)]
        share = number // len(GROUNDS)
        found += simulate(true, known, complaint, share, random, given=given, checks=checks)
    order = random.permutation(len(found))
    return [replace(found[place], id=str(place)) for place in order]


def learned(library: Library, cases: list[Case], strength: Strength | None = None) -> LearnedRates:
    return learn_from(texts(cases), grounds_of(library), strength or Strength(), seed=1)


def true_rates(library: Library, changed: Mapping[str, float]) -> dict[str, float]:
    """The changed rates on the scale on which they are learned: the sum of all stays that of the library."""
    rates = {cause: changed.get(cause, one.rate) for cause, one in library.causes.items()}
    factor = sum(cause.rate for cause in library.causes.values()) / sum(rates.values())
    return {cause: rate * factor for cause, rate in rates.items()}


@pytest.mark.parametrize("seed", [11, 12, 13, 14])
def test_a_thousand_cases_recover_shifted_rates_within_their_intervals(library: Library, seed: int) -> None:
    lesson = learned(library, thousand(with_rates(library, SHIFTED), seed))
    true = true_rates(library, SHIFTED)
    inside = [one.low <= true[one.cause] <= one.high for one in lesson.rates]
    assert len(inside) == len(library.causes)
    assert sum(inside) >= 11
    for rate in lesson.rates:
        if rate.cause in SHIFTED:
            assert abs(np.log(rate.after / true[rate.cause])) < 0.5 * abs(
                np.log(rate.before / true[rate.cause])
            )
    assert lesson.rates_judged.verdict is LearningVerdict.HELPS


def test_intervals_hold_as_often_as_they_say(library: Library) -> None:
    random = np.random.default_rng(20)
    inside = []
    for seed in range(8):
        changed = {
            str(cause): float(one.rate * random.gamma(2.0) / 2.0) for cause, one in library.causes.items()
        }
        lesson = learned(library, thousand(with_rates(library, changed), seed, number=300))
        true = true_rates(library, changed)
        inside += [rate.low <= true[rate.cause] <= rate.high for rate in lesson.rates]
    # of 104 intervals of 95 %, fewer than 91 hold less than once in a thousand times (binomial)
    assert len(inside) == 104
    assert sum(inside) >= 91


def test_learning_from_cases_that_follow_the_library_is_not_recommended(library: Library) -> None:
    lesson = learned(library, thousand(library, seed=30, number=240))
    assert lesson.rates_judged.verdict in {LearningVerdict.UNCLEAR, LearningVerdict.HURTS}
    assert lesson.rates_judged.number == 240


def test_a_handful_of_cases_is_too_few_to_judge(library: Library) -> None:
    lesson = learned(library, thousand(with_rates(library, SHIFTED), seed=31, number=12))
    assert lesson.rates_judged.verdict is LearningVerdict.TOO_FEW


def test_a_stronger_prior_moves_less(library: Library) -> None:
    cases = thousand(with_rates(library, SHIFTED), seed=32, number=300)
    moved = [
        sum(
            abs(np.log(rate.after / rate.before))
            for rate in learned(library, cases, Strength(rates=worth)).rates
        )
        for worth in (1.0, 10.0, 100.0)
    ]
    assert moved == sorted(moved, reverse=True)


def test_chances_of_checks_are_recovered_within_their_intervals(library: Library) -> None:
    true = with_chances(library, "lead-off", {"yes": 0.7, "no": 0.3}, {"yes": 0.15, "no": 0.85})
    cases = thousand(true, seed=40, number=1200, checks=("lead-off", "plug-look", "compression"))
    lesson = learned(library, cases, Strength(chances=4.0))
    by_line = {(chance.check, chance.line, chance.finding): chance for chance in lesson.chances}
    assert by_line["lead-off", 0, "no"].low <= 0.3 <= by_line["lead-off", 0, "no"].high  # type: ignore[index]
    assert by_line["lead-off", 1, "yes"].low <= 0.15 <= by_line["lead-off", 1, "yes"].high  # type: ignore[index]
    assert by_line["lead-off", 1, "yes"].answers > 100  # type: ignore[index]
    assert lesson.chances_judged.verdict is LearningVerdict.HELPS
    kept = [chance for chance in lesson.chances if chance.check != "lead-off"]
    assert sum(one.low <= one.before <= one.high for one in kept) >= 0.8 * len(kept)


def test_answers_that_follow_the_library_do_not_recommend_new_chances(library: Library) -> None:
    lesson = learned(library, thousand(library, seed=41, number=240, checks=("plug-look", "fuel-at-hose")))
    assert lesson.chances_judged.verdict in {LearningVerdict.UNCLEAR, LearningVerdict.HURTS}


def test_a_check_that_hidden_links_decide_is_not_learned_from(library: Library) -> None:
    fouled = Case("a", "2026-03-01", "moped", ("will-not-start",), (), (("plug-fouled",),))
    counted = tally(
        texts(
            [
                replace(fouled, seen=(Seen("spark-at-plug", (("none", 1.0),)),)),
                replace(fouled, seen=(Seen("plug-look", (("wet", 1.0),)),)),
            ]
        ),
        grounds_of(library),
        folds=2,
    )
    assert list(counted.answers) == [(CheckId("plug-look"), 0)]
    assert counted.answers_left == 1


def test_an_unsure_answer_counts_for_each_finding_by_its_share(library: Library) -> None:
    case = Case("a", "2026-03-01", "moped", ("smokes",), (), (("rings-worn",),))
    unsure = replace(case, seen=(Seen("compression", (("low", 0.5), ("good", 0.5))),))
    counted = tally(texts([unsure]), grounds_of(library), folds=1)
    assert counted.answers[CheckId("compression"), 0].tolist() == [[pytest.approx(0.9), pytest.approx(0.1)]]


def test_a_check_is_judged_in_the_state_in_which_it_was_made(library: Library) -> None:
    case = Case("a", "2026-03-01", "moped", ("smokes",), (), (("rings-worn",),))
    later = replace(case, seen=(Seen("compression", (("low", 1.0),), state=("stood-months",)),))
    counted = tally(texts([later]), grounds_of(library), folds=1)
    assert counted.answers[CheckId("compression"), 0].sum() == 1.0


def test_a_repair_that_cures_several_leaves_it_to_what_was_found_which_it_was(library: Library) -> None:
    case = Case(
        "a",
        "2026-03-01",
        "moped",
        ("will-not-start",),
        (),
        (("plug-fouled",),),
        Confirmed.REPAIR,
        "new-plug",
        (Seen("plug-look", (("clean", 1.0),)),),
    )
    counted = tally(texts([case]), grounds_of(library), folds=1)
    ((_, causes, weights),) = counted.alike
    named = {counted.causes[place]: weight for place, weight in zip(causes, weights, strict=True)}
    assert named == {"plug-fouled": pytest.approx(0.1 / 0.75, rel=0.026), "gap-wide": 1.0}
    assert counted.answers == {}


def test_repairs_that_cure_several_still_recover_the_shift(library: Library) -> None:
    changed = {"plug-fouled": 2.0, "gap-wide": 9.0}
    cases = [
        replace(case, confirmed=Confirmed.REPAIR, repair="new-plug")
        if case.causes[0][0] in {"plug-fouled", "gap-wide"}
        else case
        for case in thousand(with_rates(library, changed), seed=50, checks=("plug-look",))
    ]
    lesson = learned(library, cases)
    true = true_rates(library, changed)
    for rate in lesson.rates:
        if rate.cause in changed:
            assert rate.cases == 0
            assert rate.shared > 100
            assert rate.low <= true[rate.cause] <= rate.high


def test_what_is_not_learned_from_is_counted_by_its_reason(library: Library) -> None:
    good = Case("a", "2026-03-01", "moped", ("will-not-start",), (), (("tap-shut",),))
    lesson = learned(
        library,
        [
            good,
            replace(good, confirmed=Confirmed.LIKELY),
            replace(good, causes=(("tap-shut", "coil-dead"),)),
            replace(good, causes=(("mix-rich",),)),
            replace(good, complaints=("will-not-stop",)),
            replace(good, machine="step-through", causes=(("points-dirty",),)),
        ],
    )
    assert lesson.used == 1
    assert lesson.passed_over == {GUESSED: 1, TWO: 1, UNEXPLAINED: 2, UNKNOWN: 1}


def test_the_same_seed_gives_the_same_lesson(library: Library) -> None:
    cases = thousand(library, seed=60, number=120, checks=("plug-look",))
    assert learned(library, cases) == learned(library, cases)
