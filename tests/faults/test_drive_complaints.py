"""The complaints of clutch, starter and brakes: what leads to what is common practice, no source."""

from __future__ import annotations

import pytest

import kickover
from faults.reach import causes_under, shipped
from kickover.core.ids import EventId, SetupId

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
        said = " ".join(LIBRARY.setups[SetupId("brakes-looked-over")].how)

        assert LIBRARY.complaints[EventId("brakes-drag")].title in said

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
        walk = kickover.load().walk("brakes-drag", "points-moped")
        walk.record(check, finding)

        assert walk.ranking()[0].cause == cause
