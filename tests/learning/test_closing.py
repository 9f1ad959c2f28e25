"""A walk that ended with a cure becomes a case with all that was found; no other walk does."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest

from kickover.core.ids import EventId, MachineId
from kickover.inference.soft_evidence import Sureness
from kickover.learning.case import Case, CaseError, Confirmed, MeasuredFinding, Seen
from kickover.learning.closing import case_of_walk
from kickover.model.library import Library
from kickover.session import entries
from kickover.session.entries import Answered, Entry, Prepared, Proved, Repaired, Waited
from kickover.session.journal import Heading, Record, Stamped
from kickover.session.session import begin
from worlds.shop_library import shop_library


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return shop_library(tmp_path_factory.mktemp("shop"))


def closed(library: Library, recorded: Sequence[Entry], outcome: str = "mended") -> Case:
    """The case of a walk with these entries."""
    heading = Heading(
        walk="20260301-101500-will-not-start-ab12",
        started="2026-03-01T10:15:00+01:00",
        library=library.title,
        version=library.version,
        machine="moped",
        complaints=("will-not-start",),
        given=(),
        kit="everything",
        items=None,
        give_up=None,
    )
    stamped = tuple(Stamped(entry, "2026-03-01T10:40:00+01:00") for entry in recorded)
    record = Record(Path("a.walk"), heading, stamped, "", outcome)
    start = begin(library, library.machines[MachineId("moped")], [EventId("will-not-start")])
    return case_of_walk(record, start.replayed(recorded))


def test_a_cured_walk_becomes_a_case(library: Library) -> None:
    case = closed(
        library,
        [
            Answered("plug-look", "sooty"),
            Answered("lead-off", "no", Sureness.FAIRLY),
            entries.Measured("compression", 8.0, 8.2),
            Repaired("new-plug"),
            Proved(gone=True),
        ],
    )
    assert case.id == "20260301-101500-will-not-start-ab12"
    assert case.date == "2026-03-01"
    assert case.complaints == ("will-not-start",)
    assert case.causes == (("plug-fouled",),)
    assert (case.confirmed, case.repair) == (Confirmed.REPAIR, "new-plug")
    assert case.library == library.version
    assert case.minutes == pytest.approx(2 + 2 + 5 + 9 + 1)
    look, lead, gauge = case.seen
    assert look == Seen("plug-look", (("sooty", 1.0),))
    assert dict(lead.weights) == pytest.approx({"yes": 0.2, "no": 0.8})
    assert (gauge.check, gauge.finding, gauge.measured) == (
        "compression",
        "good",
        MeasuredFinding(8.0, 8.2, "bar"),
    )


def test_a_check_made_in_another_state_keeps_that_state(library: Library) -> None:
    case = closed(
        library,
        [Waited("stood-months"), Answered("plug-look", "sooty"), Repaired("new-plug"), Proved(gone=True)],
    )
    assert case.given == ()
    assert case.seen == (Seen("plug-look", (("sooty", 1.0),), state=("stood-months",)),)


def test_the_causes_are_those_that_the_last_repair_cures(library: Library) -> None:
    case = closed(
        library,
        [Repaired("new-plug"), Proved(gone=False), Repaired("new-switch"), Proved(gone=True)],
    )
    assert (case.causes, case.repair) == ((("switch-shorted",),), "new-switch")


def test_a_repair_that_cures_several_leaves_them_as_alternatives(library: Library) -> None:
    case = closed(library, [Repaired("clean-jet"), Proved(gone=True)])
    assert case.causes == (("jet-blocked",), ("needle-stuck",))


@pytest.mark.parametrize(
    ("outcome", "said"),
    [("", "it has not ended"), ("given-up", "it ended as given-up")],
)
def test_a_walk_without_a_cure_is_no_case(library: Library, outcome: str, said: str) -> None:
    with pytest.raises(CaseError, match=f"{said}; only a walk that ended with a cure is a case"):
        closed(library, [Answered("plug-look", "sooty")], outcome)


def test_a_cure_that_the_library_does_not_explain_is_no_case(library: Library) -> None:
    with pytest.raises(CaseError, match="the library does not explain its cure; add the case by hand"):
        closed(library, [Repaired("new-gasket"), Proved(gone=True)])


def test_setups_are_no_findings(library: Library) -> None:
    case = closed(library, [Prepared("plug-out", undone=False), Repaired("new-plug"), Proved(gone=True)])
    assert case.seen == ()
