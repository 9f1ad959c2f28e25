"""The report of a walk as a value and as text."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from documents.pdf_text import pages_of
from kickover.core.ids import EventId, MachineId
from kickover.documents.report_html import as_html
from kickover.documents.report_markdown import as_markdown
from kickover.documents.report_pdf import report_pdf
from kickover.documents.walk_report import Report, clock_in_words, report_of, set_apart
from kickover.model.library import Library
from kickover.session.entries import Answered, Entry, GaveUp, Measured, Noted, Prepared, Proved, Repaired
from kickover.session.journal import Heading, Record, Stamped
from kickover.session.restoring import machine_of, profile_of, restored
from worlds.shipped_library import shipped


def heading(complaint: str = "no-power") -> Heading:
    return Heading(
        "w1", "2026-03-01T10:00:00+01:00", "Yard", "1.0", "moped", (complaint,), (), "pouch", None, None
    )


def made(yard: Library, *entries: Entry, complaint: str = "no-power") -> Report:
    stamped = tuple(Stamped(entry, f"2026-03-01T10:0{place}:30") for place, entry in enumerate(entries, 1))
    record = Record(Path("w1.walk"), heading(complaint), stamped, "", "")
    return report_of(record, restored(record, yard))


def test_readings_stand_beside_their_limits_and_times(yard: Library) -> None:
    report = made(yard, Measured("compression", 5.0, 5.0), complaint="smokes")
    (found,) = report.found
    assert (found.at, found.check) == ("2026-03-01 10:01", "Compression")
    assert found.finding.startswith("5 bar")
    assert found.limits == ("under 6.4 bar (93 psi): Low", "from 6.4 bar (93 psi): Good")


def test_an_open_a_stopped_and_a_cured_walk_say_so(yard: Library) -> None:
    assert made(yard).outcome == ("The walk is still open.",)
    assert made(yard, GaveUp()).outcome[0] == "The walk ended without a confirmed repair."
    cured = made(
        yard,
        Answered("chain-look", "loose"),
        Repaired("new-chain"),
        Prepared("brakes-looked-over", undone=False),
        Proved(gone=True),
    )
    assert cured.outcome[0] == "It is cured, and the cure was proven."
    assert cured.stops == ()
    assert "Helmet on." in cured.cautions


def test_a_stop_heads_the_report(yard: Library) -> None:
    assert made(yard, Answered("chain-look", "loose"), GaveUp()).stops == (
        "Do not ride: the chain can lock the wheel.",
    )


def test_curves_have_a_point_for_the_start_and_each_answer(yard: Library) -> None:
    report = made(yard, Answered("chain-look", "loose"), Noted("x"), Answered("choke-look", "no"))
    assert {len(curve.chances) for curve in report.curves} == {3}
    assert report.curves[0].title == "Chain loose"


def test_a_walk_without_answers_makes_a_report_too(yard: Library) -> None:
    report = made(yard)
    assert "# Report of walk w1" in as_markdown(report)
    assert "<svg" not in as_html(report)


@given(words=st.text(max_size=80))
def test_what_was_typed_never_becomes_markup(yard: Library, words: str) -> None:
    html = as_html(made(yard, Noted(words)))
    assert html.count("<script") == 0
    assert html.count("<li>") == as_html(made(yard, Noted("x"))).count("<li>")


@given(st.lists(st.floats(0, 1), max_size=6))
def test_labels_are_set_apart_and_keep_their_order(heights: list[float]) -> None:
    labels = set_apart(heights, 0.1)
    ordered = sorted(labels)
    assert all(high - low >= 0.1 - 1e-9 for low, high in pairwise(ordered))
    assert all(label >= height for label, height in zip(labels, heights, strict=True))


def test_a_machine_survives_its_profile(yard: Library) -> None:
    machine = yard.machines[MachineId("moped")]
    kept = replace(heading(), profile=profile_of(machine))
    again = machine_of(kept, yard)
    assert (again.id, again.title, again.traits, again.figures) == (
        machine.id,
        machine.title,
        machine.traits,
        machine.figures,
    )


def test_a_complaint_that_is_gone_is_left_out_and_told(yard: Library) -> None:
    named = replace(heading(), version=yard.version, complaints=("no-power", "sings"))
    both = Record(Path("w1.walk"), named, (), "", "")
    walk = restored(both, yard)
    assert walk.session.complaints == (EventId("no-power"),)
    assert walk.notes == ("The library has no complaint 'sings' any more; it is left out.",)


def test_a_clock_is_read_to_the_minute() -> None:
    assert clock_in_words("2026-03-01T10:05:59+01:00") == "2026-03-01 10:05"


def test_the_place_of_the_repair_is_marked_on_the_drawings_of_the_machine() -> None:
    library = shipped()
    clip_on = replace(heading("no-spark-seen"), machine="clip-on-two-stroke", kit="bench")
    entries = (Stamped(Repaired("fit-new-plug"), "2026-03-01T10:01:30"),)
    record = Record(Path("w1.walk"), clip_on, entries, "", "")
    report = report_of(record, restored(record, library))
    assert [one.drawing.id for one in report.where] == ["two-stroke-leak-points", "magneto-capacitor-circuit"]
    assert 'class="place here" data-place="plug"' in as_html(report)
    assert "1 Plug and its seat" in as_markdown(report)
    assert any("Here: 7 Plug" in page.says.replace("\n", " ") for page in pages_of(report_pdf(report)))
