"""The complaints of clutch, starter and brakes: what leads to what is common practice, no source."""

from __future__ import annotations

import pytest

from faults.reach import causes_under
from kickover.core.ids import EventId, MachineId, SetupId
from kickover.packing.coverings import coverings
from kickover.packing.strandings import strandings
from kickover.planning.job_state import Preparation
from kickover.session.session import Phase, Task, begin
from kickover.ui.asking import step_screen
from worlds.shipped_library import loaded, shipped

LIBRARY = shipped()


class TestComplaintsOfDriveAndBrakes:
    @pytest.mark.parametrize(
        ("complaint", "causes"),
        [
            ("clutch-slips-or-drags", {"clutch-no-free-play", "clutch-plates-stuck", "clutch-glazed"}),
            (
                "starter-turns-engine-does-not",
                {"kick-gear-slips", "recoil-pawls-slip", "one-way-clutch-slips"},
            ),
            ("brakes-drag", {"brake-drags", "brake-reach-long", "brake-linings-worn", "brake-cable-stiff"}),
        ],
    )
    def test_a_complaint_of_its_own_leads_to_its_causes(self, complaint: str, causes: set[str]) -> None:
        assert causes <= {str(one) for one in causes_under(EventId(complaint))}

    def test_a_brake_that_does_not_hold_is_not_ridden(self) -> None:
        for cause in ("brake-reach-long", "brake-linings-worn", "brake-linings-oily", "brake-cable-stiff"):
            assert not LIBRARY.causes[EventId(cause)].ride, cause

    def test_a_failed_look_over_leads_to_a_repair(self) -> None:
        walk = begin(LIBRARY, LIBRARY.machines[MachineId("points-moped")], [EventId("no-power")])
        preparation = Preparation(SetupId("brakes-looked-over"), False, None, 3.0)
        screen = step_screen(walk, Task(Phase.PREPARE, "brakes-looked-over", 3.0, preparation))

        assert any(LIBRARY.complaints[EventId("brakes-drag")].title in fact for fact in screen.facts)
        assert "comes-loose" in LIBRARY.setups[SetupId("mounts-looked-over")].shows

    @pytest.mark.parametrize(
        ("check", "finding", "cause"),
        [
            ("brake-lever-reach", "to-the-grip", "brake-reach-long"),
            ("brake-linings-look", "thin", "brake-linings-worn"),
            ("brake-linings-look", "wet", "brake-linings-oily"),
            ("brake-cable-look", "yes", "brake-cable-stiff"),
        ],
    )
    def test_what_is_seen_of_a_brake_names_its_cause(self, check: str, finding: str, cause: str) -> None:
        walk = loaded().walk("brakes-drag", "points-moped")
        walk.record(check, finding)

        assert walk.ranking()[0].cause == cause


class TestFastenersAndFit:
    """What holds a joint, and what does not: common practice, and the sources named in the library."""

    @pytest.mark.parametrize(
        ("check", "finding", "cause"),
        [
            ("compound-which", "weak", "compound-grade-wrong"),
            ("lock-wire-look", "slack", "lock-wire-slack"),
            ("which-end-turns", "stud", "stud-turns-with-nut"),
            ("engine-lies-on", "gap", "mount-pulled-to-fit"),
            ("nut-kind-look", "split-washers", "washer-wrong"),
        ],
    )
    def test_what_is_seen_of_a_lock_names_its_cause(self, check: str, finding: str, cause: str) -> None:
        walk = loaded().walk("comes-loose", "clip-on-two-stroke")
        before = next(one.probability for one in walk.ranking() if one.cause == cause)
        walk.record(check, finding)

        assert next(one.probability for one in walk.ranking() if one.cause == cause) > 2 * before

    def test_no_repair_fits_a_split_washer(self) -> None:
        for one in LIBRARY.repairs.values():
            for said in (one.locking, *one.how):
                for sentence in said.lower().split("."):
                    if "split washer" in sentence or "split ones" in sentence:
                        assert "no split" in sentence or "throw" in sentence, one.id

    def test_a_stud_into_the_crankcase_that_leaks_draws_air(self) -> None:
        assert "stud-thread-leaks" in causes_under(EventId("races"))

    def test_a_puncture_strands_and_can_be_carried_for(self) -> None:
        clip_on = LIBRARY.machines[MachineId("clip-on-two-stroke")]
        tyre = next(one for one in strandings(LIBRARY, clip_on) if one.cause == "tyre-punctured")
        ways = coverings(LIBRARY, clip_on, [tyre])[0].ways

        assert any({"puncture-kit", "tyre-levers", "tyre-pump"} <= way.items for way in ways)
