"""Proofs: four outcomes, proofs put off, and tests that find a cause without mending it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kickover.core.ids import EventId, MachineId, RepairId
from kickover.inference.repair_effect import Change
from kickover.model.library import Library
from kickover.session.entries import Entry, GaveUp, Proved, PutOff, Repaired, from_data, to_data
from kickover.session.outcome import confirmed_causes, cure_in_words, found_in_words
from kickover.session.session import Phase, Session, WalkError, begin

PLUG, SWITCH = RepairId("new-plug"), RepairId("new-switch")


def unsure(tiny: Library, **tests: bool) -> Library:
    """The tiny library where every repair works in seven cases of ten."""
    repairs = {
        id_: replace(one, cures=dict.fromkeys(one.cures, 0.7), test=tests.get(id_.replace("-", "_"), False))
        for id_, one in tiny.repairs.items()
    }
    return replace(tiny, repairs=repairs)


def started(library: Library) -> Session:
    return begin(library, library.machines[MachineId("moped")], [EventId("will-not-start")])


def share(session: Session, cause: str) -> float:
    return session.belief.marginals()[EventId(cause)]


def after(session: Session, repair: RepairId, proof: Proved) -> Session:
    return session.record(Repaired(repair)).record(proof)


def test_a_failed_repair_lowers_its_cause_by_its_chance_and_never_removes_it(tiny: Library) -> None:
    start = started(replace(unsure(tiny), settings=replace(tiny.settings, order=1)))
    failed = after(start, PLUG, Proved(False))
    odds = [share(one, "plug-fouled") / share(one, "switch-shorted") for one in (start, failed)]
    assert odds[1] == pytest.approx(0.3 * odds[0])


def test_the_same_repair_again_tells_nothing_and_is_not_offered(tiny: Library) -> None:
    once = after(started(unsure(tiny)), PLUG, Proved(False))
    twice = after(once, PLUG, Proved(False))
    assert twice.belief.marginals() == pytest.approx(once.belief.marginals())
    assert PLUG not in {step.id for step in once.plan().steps}


def test_better_speaks_for_what_was_treated_and_the_same_against_it(tiny: Library) -> None:
    start = started(unsure(tiny))
    told = {change: after(start, PLUG, Proved(False, change)) for change in (*STAYED, None)}
    assert share(told[Change.BETTER], "plug-fouled") > share(start, "plug-fouled")
    assert share(told[Change.SAME], "plug-fouled") < share(told[None], "plug-fouled")


STAYED = (Change.BETTER, Change.SAME, Change.WORSE)


def test_what_may_be_told_of_a_failed_repair_is_just_what_its_failure_says(tiny: Library) -> None:
    start = started(unsure(tiny))
    whole = after(start, PLUG, Proved(False)).belief
    parts = [after(start, PLUG, Proved(False, change)).belief for change in STAYED]
    together = sum(one.posterior * one.evidence_probability for one in parts)
    assert together == pytest.approx(whole.posterior * whole.evidence_probability)


def test_a_proof_put_off_is_for_all_repairs_made_before_it(tiny: Library) -> None:
    waiting = started(unsure(tiny)).record(Repaired(PLUG)).record(PutOff())
    assert waiting.task().phase in {Phase.REPAIR, Phase.PREPARE}
    both = waiting.record(Repaired(SWITCH))
    failed = both.record(Proved(False, Change.SAME))
    apart = after(after(started(unsure(tiny)), PLUG, Proved(False)), SWITCH, Proved(False))
    assert failed.belief.posterior == pytest.approx(apart.belief.posterior)
    assert failed.minutes < apart.minutes


def test_of_repairs_with_one_proof_it_is_not_known_which_one_cured(tiny: Library) -> None:
    waiting = started(unsure(tiny)).record(Repaired(PLUG)).record(PutOff()).record(Repaired(SWITCH))
    cured = waiting.record(Proved(True))
    assert cured.task().phase is Phase.MENDED
    assert set(confirmed_causes(cured)) == {"plug-fouled", "switch-shorted"}
    assert any("which is not known" in line for line in cure_in_words(cured))


def test_no_more_than_three_repairs_wait_for_one_proof_and_none_where_nothing_is_left(tiny: Library) -> None:
    walk = started(unsure(tiny))
    with pytest.raises(WalkError, match="nothing was repaired yet"):
        walk.record(PutOff())
    for repair in ("new-plug", "new-switch"):
        walk = walk.record(Repaired(repair)).record(PutOff())
    with pytest.raises(WalkError, match="no other repair"):
        walk.record(Repaired("new-rings")).record(PutOff())


def test_a_test_that_takes_the_complaint_away_has_found_the_cause_and_not_mended_it(tiny: Library) -> None:
    found = after(started(unsure(tiny, new_switch=True)), SWITCH, Proved(True))
    assert found.found == SWITCH
    assert share(found, "switch-shorted") > 0.95
    assert found.task().phase is not Phase.MENDED
    assert any("switch shorted" in line.lower() for line in found_in_words(found))
    assert found.record(GaveUp()).task().phase is Phase.FOUND


def test_proofs_go_through_the_journal(tiny: Library) -> None:
    entries: list[Entry] = [Proved(True), Proved(False), *(Proved(False, one) for one in STAYED), PutOff()]
    for entry in entries:
        assert from_data(to_data(entry)) == entry
    assert from_data({"what": "proved", "gone": False}) == Proved(False)
