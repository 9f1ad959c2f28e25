"""A walk as a value: what entries do to it, in any order, and what undoing them restores."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kickover.core.ids import CheckId, EventId, ItemId, MachineId, RepairId, SetupId
from kickover.inference.soft_evidence import Sureness
from kickover.model.library import Library
from kickover.session.entries import (
    Answer,
    Answered,
    Cannot,
    Chose,
    Entry,
    GaveUp,
    Measured,
    Noted,
    Prepared,
    Proved,
    Repaired,
    Skipped,
    Waited,
)
from kickover.session.session import Phase, Session, WalkError, begin

HOT, COLD = EventId("engine-hot"), EventId("engine-cold")


def started(library: Library, complaint: str = "will-not-start", *given: EventId) -> Session:
    machine = library.machines[MachineId("moped")]
    return begin(library, machine, [EventId(complaint)], frozenset(given))


@pytest.fixture(scope="module")
def walk(yard: Library) -> Session:
    return started(yard)


ANSWERS: Sequence[Answer] = (
    Answered("spark-at-plug", "none"),
    Answered("spark-at-plug", "strong", Sureness.GUESS),
    Answered("plug-look", "wet", Sureness.FAIRLY),
    Answered("lead-off", "no"),
    Answered("fuel-at-hose", "yes"),
    Answered("choke-look", "no"),
    Answered("tap-look", "right"),
    Measured("compression", 5.2, 5.2),
    Measured("compression", 6.0, 7.0, Sureness.GUESS),
)
ENTRIES: Sequence[Entry] = (
    *ANSWERS,
    Skipped("plug-look"),
    Cannot("compression"),
    Cannot("plug-out", "cold-gap"),
    Chose("tap-look"),
    Prepared("plug-out", undone=False),
    Prepared("plug-out", undone=True),
    Waited("engine-cold"),
    Waited("engine-hot", told=True),
    Repaired("new-plug"),
    Proved(gone=False),
    Noted("smells"),
)


def different_checks(answers: list[Answer]) -> list[Answer]:
    return list({answer.check: answer for answer in answers}.values())


@settings(max_examples=60, deadline=None)
@given(data=st.data(), answers=st.lists(st.sampled_from(ANSWERS), max_size=6).map(different_checks))
def test_the_order_of_answers_does_not_matter(
    walk: Session, data: st.DataObject, answers: list[Answer]
) -> None:
    shuffled = data.draw(st.permutations(answers))
    one, other = walk.replayed(answers), walk.replayed(shuffled)
    assert np.allclose(one.belief.posterior, other.belief.posterior, rtol=0, atol=1e-12)


@settings(max_examples=60, deadline=None)
@given(entries=st.lists(st.sampled_from(ENTRIES), max_size=10))
def test_probabilities_sum_to_one_and_undo_restores_exactly(walk: Session, entries: list[Entry]) -> None:
    past = [walk]
    for entry in entries:
        try:
            past.append(past[-1].record(entry))
        except WalkError:
            continue
        assert past[-1].belief.posterior.sum() == pytest.approx(1.0, abs=1e-9)
        assert all(0.0 <= share <= 1.0 for share in past[-1].belief.marginals().values())
    now = past[-1]
    while len(past) > 1:
        past.pop()
        now = now.back()
        assert now is past[-1]
    assert walk.back() is walk


@settings(max_examples=40, deadline=None)
@given(entries=st.lists(st.sampled_from(ENTRIES), max_size=8))
def test_there_is_always_something_to_do_next(walk: Session, entries: list[Entry]) -> None:
    now = walk
    for entry in entries:
        try:
            now = now.record(entry)
        except WalkError:
            continue
    assert now.task().phase in Phase


def test_answers_that_no_cause_explains_go_to_the_unlisted_one(walk: Session) -> None:
    now = walk
    for entry in (
        Answered("spark-at-plug", "strong"),
        Answered("fuel-at-hose", "yes"),
        Answered("choke-look", "no"),
        Answered("plug-look", "clean"),
        Answered("tap-look", "right"),
    ):
        now = now.record(entry)
    for repair in ("new-plug", "clean-points", "clean-jet", "new-switch", "new-coil", "open-choke"):
        now = now.record(Repaired(repair)).record(Proved(gone=False))
    for repair in ("open-tap", "new-hose"):
        now = now.record(Repaired(repair)).record(Proved(gone=False))
    assert not now.belief.fits
    assert now.belief.posterior.sum() == pytest.approx(1.0)
    assert now.task().phase is Phase.GIVE_UP


def test_a_repeated_reading_counts_as_the_mean_of_both(walk: Session) -> None:
    twice = walk.record(Measured("compression", 6.2, 6.2)).record(Measured("compression", 6.6, 6.6))
    once = walk.record(Measured("compression", 6.4, 6.4))
    assert twice.evidence[-1].weights == pytest.approx(once.evidence[-1].weights, abs=1e-9)
    assert len(twice.evidence) == 1


def test_a_repeated_choice_never_counts_twice(walk: Session) -> None:
    once = walk.record(Answered("spark-at-plug", "none"))
    twice = once.record(Answered("spark-at-plug", "none"))
    assert np.allclose(once.belief.posterior, twice.belief.posterior)


def test_a_check_repeated_with_another_outcome_weighs_both_half(walk: Session) -> None:
    twice = walk.record(Answered("choke-look", "yes")).record(Answered("choke-look", "no"))
    assert twice.evidence[-1].weights == pytest.approx((0.5, 0.5))
    assert np.allclose(twice.belief.posterior, walk.belief.posterior)


def test_a_guessed_reading_weighs_less_than_a_sure_one(walk: Session) -> None:
    sure = walk.record(Measured("compression", 2.0, 2.0)).belief.marginals()
    guess = walk.record(Measured("compression", 2.0, 2.0, Sureness.GUESS)).belief.marginals()
    prior = walk.belief.marginals()
    for cause, share in prior.items():
        low, high = sorted((share, sure[cause]))
        assert low - 1e-12 <= guess[cause] <= high + 1e-12


def test_the_state_of_an_answer_is_the_one_in_which_it_was_made(yard: Library) -> None:
    walk = started(yard, "dies-hot", HOT)
    hot = walk.record(Measured("coil-ohms", 20000, 20000))
    told_cold = hot.record(Waited(COLD, told=True))
    again = told_cold.record(Measured("coil-ohms", 6000, 6000))
    assert len(again.evidence) == 2
    assert {bool(HOT in one.state.houses) for one in again.evidence} == {True, False}


def test_what_is_told_takes_no_minutes_but_waiting_does(yard: Library) -> None:
    walk = started(yard, "will-not-start", HOT)
    assert walk.record(Waited(COLD, told=True)).minutes == 0.0
    assert walk.record(Waited(COLD)).minutes == 20.0


def test_a_preparation_that_cannot_be_made_bars_the_step_it_is_for(yard: Library) -> None:
    walk = started(yard, "dies-hot", HOT).record(Chose("coil-ohms"))
    task = walk.task()
    assert (task.phase, task.id) == (Phase.PREPARE, "plug-out")
    after = walk.record(Cannot("plug-out", "coil-ohms"))
    assert after.chosen is None
    offered = {step.id for step in after.plan().steps}
    assert "coil-ohms" not in offered
    assert after.task().id != "plug-out"


def test_waiting_that_cannot_be_done_bars_every_step_that_needs_it(yard: Library) -> None:
    walk = started(yard, "will-not-start", HOT)
    assert "cold-gap" in {step.id for step in walk.plan().steps}
    after = walk.record(Cannot("engine-cold", "cold-gap"))
    assert "cold-gap" not in {step.id for step in after.plan().steps}


def test_a_step_that_was_skipped_comes_back_when_nothing_else_is_left(yard: Library) -> None:
    walk = started(yard)
    for _ in range(60):
        task = walk.task()
        if task.phase is Phase.GIVE_UP:
            break
        step = task.toward.id if task.toward else task.id
        if step in walk.skipped:
            return
        walk = walk.record(Skipped(step))
    pytest.fail("no skipped step came back")


def test_a_picked_step_comes_next_with_its_preparations(yard: Library) -> None:
    walk = started(yard, "will-not-start", COLD).record(Chose("cold-gap"))
    assert walk.task().id == "plug-out"
    walk = walk.record(Prepared("plug-out", undone=False))
    assert (walk.task().phase, walk.task().id) == (Phase.CHECK, "cold-gap")
    assert walk.record(Answered("cold-gap", "no")).chosen is None


def test_the_plug_goes_back_in_before_the_proof(yard: Library) -> None:
    walk = started(yard).record(Prepared("plug-out", undone=False)).record(Repaired("new-plug"))
    assert walk.task().phase is Phase.PROOF  # the yard's plug-out does not stop the engine from being tried
    assert SetupId("plug-out") in walk.job.in_place


def test_a_road_test_comes_only_after_the_look_over(yard: Library) -> None:
    walk = started(yard, "no-power").record(Repaired("new-gasket"))
    task = walk.task()
    assert (task.phase, task.id) == (Phase.PREPARE, "brakes-looked-over")
    assert walk.record(Prepared("brakes-looked-over", undone=False)).task().phase is Phase.PROOF


def test_a_look_over_that_fails_ends_the_walk(yard: Library) -> None:
    walk = started(yard, "no-power").record(Repaired("new-gasket")).record(Cannot("brakes-looked-over"))
    assert walk.task().phase is Phase.GIVEN_UP


def test_a_failed_proof_goes_on_with_that_knowledge(walk: Session) -> None:
    after = walk.record(Repaired("new-plug")).record(Proved(gone=False))
    assert after.task().phase not in {Phase.PROOF, Phase.MENDED}
    assert after.belief.marginals()[EventId("plug-fouled")] == 0.0
    assert "new-plug" not in {step.id for step in after.plan().steps}


def test_a_proven_repair_ends_the_walk(walk: Session) -> None:
    after = walk.record(Repaired("open-tap")).record(Proved(gone=True))
    assert after.task().phase is Phase.MENDED
    assert after.mended == RepairId("open-tap")


def test_giving_up_ends_the_walk(walk: Session) -> None:
    assert walk.record(GaveUp()).task().phase is Phase.GIVEN_UP


def test_what_the_kit_lacks_is_not_offered_but_named(yard: Library) -> None:
    machine = yard.machines[MachineId("moped")]
    walk = begin(yard, machine, [EventId("smokes")], kit=frozenset({ItemId("socket")}))
    assert CheckId("compression") not in {step.id for step in walk.plan().steps}
    titles = dict(walk.missing_steps())
    assert titles.get("Compression") == (ItemId("gauge"),)
    assert started(yard).missing_steps() == ()


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        (Answered("no-such-check", "yes"), "there is no check 'no-such-check' for Moped"),
        (Answered("spark-at-plug", "green"), "has no finding 'green'; it has strong, weak, none"),
        (Measured("spark-at-plug", 1, 1), "takes an answer, not a reading"),
        (Answered("choke-look", "yes", state="engine-wet"), "there is no situation 'engine-wet'"),
        (Prepared("wings-off", undone=False), "there is no setup 'wings-off'"),
        (Waited("full-moon"), "there is no situation 'full-moon'"),
        (Repaired("new-wings"), "there is no repair 'new-wings' for Moped"),
        (Chose("new-wings"), "there is no check or repair 'new-wings' for Moped"),
        (Chose("coil-ohms"), "cannot be done now"),
        (Proved(gone=True), "nothing was repaired yet"),
    ],
)
def test_an_entry_that_does_not_fit_says_what_would(walk: Session, entry: Entry, said: str) -> None:
    with pytest.raises(WalkError, match=said):
        walk.record(entry)
