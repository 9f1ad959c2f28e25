"""The drawings of the engine: what is drawn, what is marked, and that every place of a step can be found."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from documents.page_geometry import faults_of
from kickover.core.ids import CheckId, MachineId, PlaceId
from kickover.documents.charts.how_to import booklet, how_to
from kickover.documents.engine_drawing import MarkedDrawing, drawings_of, shown_on
from kickover.documents.page_layout import Area, LineMark, Panel, PrintedPage, TextMark
from kickover.documents.page_output import pages_pdf
from worlds.shipped_library import shipped

SPACE = "{http://www.w3.org/2000/svg}"


def every() -> list[MarkedDrawing]:
    return [MarkedDrawing(one, shipped().symbols) for one in shipped().drawings.values()]


@pytest.mark.parametrize("marked", every(), ids=lambda one: one.drawing.id)
def test_a_drawing_can_be_printed_and_read(marked: MarkedDrawing) -> None:
    wide, high = marked.drawing.size
    page = PrintedPage(wide + 60, high + 60, (Panel(Area(30, 30, wide, high), marked.marks()),))
    assert faults_of(pages_pdf([page], "drawing")) == []


@pytest.mark.parametrize("machine", sorted(shipped().machines))
def test_every_machine_has_its_ignition_its_fuel_path_its_engine_and_its_mounts(machine: str) -> None:
    """One circuit, one fuel path, one engine, the mounts; and the chain where there is one."""
    profile = shipped().machines[MachineId(machine)]
    drawn = [one.drawing.id for one in drawings_of(shipped(), profile)]
    assert sum(name.endswith("circuit") for name in drawn) == 1
    assert sum(name.endswith("fuel-path") for name in drawn) == 1
    assert ("two-stroke-leak-points" in drawn) == ("two-stroke" in profile.traits)
    assert ("four-stroke-valve-train" in drawn) == ("four-stroke" in profile.traits)
    assert ("chain-drive" in drawn) == ("chain-drive" in profile.traits)
    assert "mounts" in drawn


def test_a_place_is_shown_on_the_circuit_that_the_machine_has() -> None:
    places = shipped().checks[CheckId("spark-with-kill-lead-off")].needs.shown_at
    magneto = shown_on(shipped(), shipped().machines[MachineId("clip-on-two-stroke")], places)
    points = shown_on(shipped(), shipped().machines[MachineId("points-moped")], places)
    assert [one.drawing.id for one in magneto] == ["magneto-capacitor-circuit"]
    assert [one.drawing.id for one in points] == ["contact-points-circuit"]
    assert magneto[0].words() == "T1 Stop wire"


def test_a_marked_place_is_told_apart_without_colour() -> None:
    drawing = next(one for one in every() if one.drawing.id == "mounts")
    plain = {mark.wide for mark in drawing.marks() if isinstance(mark, LineMark)}
    marked = MarkedDrawing(drawing.drawing, drawing.symbols, (PlaceId("frame"),))
    assert {mark.wide for mark in marked.marks() if isinstance(mark, LineMark)} - plain


def test_places_are_numbered_in_order_and_test_points_have_their_labels() -> None:
    circuit = next(one for one in every() if one.drawing.id == "magneto-capacitor-circuit")
    says = [mark.says for mark in circuit.marks() if isinstance(mark, TextMark)]
    labels = [f"T{number}" for number in range(1, 7)]
    assert set(labels) <= set(says)
    assert [line.split()[0] for line in circuit.legend() if not line.startswith("T")] == list("1234567")


def test_the_picture_has_a_title_a_description_and_a_group_for_each_place() -> None:
    for marked in every():
        root = ET.fromstring(marked.svg())
        assert [root[0].tag, root[1].tag] == [f"{SPACE}title", f"{SPACE}desc"]
        places = [one.attrib["data-place"] for one in root.iter(f"{SPACE}g")]
        assert places == list(marked.drawing.places)


def test_the_booklet_has_each_drawing_once_and_says_where_a_step_is() -> None:
    machine = shipped().machines[MachineId("clip-on-two-stroke")]
    pages = booklet(shipped(), machine, "a4", "27 November 2026", ["stop-wire-look", "chain-play"])
    marks = (mark for page in pages for panel in page.panels for mark in panel.marks)
    says = [mark.says for mark in marks if isinstance(mark, TextMark)]
    assert sum(one.startswith("Drawing ") for one in says) == 2
    assert any(one.startswith("Place: drawing B, T1 Stop wire") for one in says)
    assert faults_of(pages_pdf(pages, "booklet")) == []


def test_most_steps_of_a_machine_have_a_place() -> None:
    machine = shipped().machines[MachineId("clip-on-two-stroke")]
    steps = how_to(shipped(), machine).values()
    assert sum(bool(one.where) for one in steps) > 0.75 * len(steps)
