"""The wall set, the card, the booklet and the page of charts: judged by their geometry, and read back."""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from functools import cache

import pytest

from documents.page_geometry import blank, leaves_of, small_text, text_off_the_page, text_on_text
from kickover.documents.charts.chart import Chart, ChartMaker, steps_of
from kickover.documents.charts.guided_page import guided_page
from kickover.documents.charts.how_to import booklet, how_to
from kickover.documents.charts.wall_set import PrintedChart, card_page, pouch_card, wall_pages, wall_set
from kickover.documents.page_layout import TextMark
from kickover.documents.page_output import page_png, page_svg, pages_pdf
from worlds.shipped_library import loaded

DATE = "27 November 2026"
SAMPLE = [("no-spark-seen", "clip-on-two-stroke", "bench"), ("will-not-start", "points-moped", "pouch")]


@cache
def maker(complaint: str, machine: str, kit: str) -> ChartMaker:
    return ChartMaker(loaded().walk(complaint, machine, kit=kit).session, kit)


@cache
def printed(sample: tuple[str, str, str], pages: int) -> PrintedChart:
    return wall_set(maker(*sample), "a4", DATE, pages)


def judged(pdf: bytes) -> list[str]:
    """What is wrong with any page: type under 9 points, text off the page or on other text, a blank page."""
    found: list[str] = []
    for leaf in leaves_of(pdf):
        found += [*small_text(leaf), *text_off_the_page(leaf), *text_on_text(leaf), *blank(leaf)]
    return found


@pytest.mark.parametrize("sample", SAMPLE)
@pytest.mark.parametrize("pages", [1, 3])
def test_every_page_is_sound(sample: tuple[str, str, str], pages: int) -> None:
    made = printed(sample, pages)
    assert len(made.pages) <= pages
    assert judged(pages_pdf(made.pages, made.chart.title)) == []


@pytest.mark.parametrize("sample", SAMPLE)
def test_every_way_leads_to_what_is_printed(sample: tuple[str, str, str]) -> None:
    made = printed(sample, 3)
    labels = [label for page in made.pages for panel in page.panels for label in panel.labels]
    assert len(labels) == len(set(labels))
    there = {item.label for item in steps_of(made.chart)} | {table.letter for table in made.chart.tables}
    assert there == set(labels)
    assert {way.to for box in made.chart.boxes for way in box.exits if way.to} <= there


def test_a_step_with_a_hazard_has_its_caution_on_the_paper() -> None:
    made = printed(SAMPLE[0], 1)
    library = loaded().library
    for item in steps_of(made.chart):
        check = library.checks.get(item.check_id)  # type: ignore[call-overload]
        for hazard in check.needs.hazards if check else ():
            number = [title for title, _ in made.chart.cautions].index(library.hazards[hazard].title) + 1
            assert number in item.cautions


def test_a_ban_is_a_value_and_survives_any_rewording() -> None:
    """A repair of a cause that must not be ridden with says so on paper, whatever words the library uses."""
    making = maker("brakes-drag", "points-moped", "bench")
    made = making.chart(12)
    library, repairs = loaded().library, making.session.model.repairs
    banned = {cause.id for cause in library.causes.values() if not cause.ride}
    under = set(making.session.model.hypotheses.structure.causes)
    told = set()
    for item in steps_of(made):
        if item.repair_id:
            cures = set(repairs[item.repair_id].cures)  # type: ignore[index]
            assert item.no_ride == bool(cures & banned & under)
            told.add(item.no_ride)
    assert told == {True, False}


def test_more_pages_never_mend_less() -> None:
    one, three = printed(SAMPLE[1], 1), printed(SAMPLE[1], 3)
    assert one.chart.loss >= three.chart.loss


@pytest.mark.parametrize("sample", SAMPLE)
def test_a_table_says_where_calling_for_help_costs_less(sample: tuple[str, str, str]) -> None:
    making = maker(*sample)
    chart = making.chart(30)
    assert any(table.paying < len(table.rows) for table in chart.tables)
    mended, minutes = chart.at_lines
    assert mended < chart.mended
    assert minutes < chart.minutes
    assert page_svg(wall_pages(chart, "a4", DATE)[0], "chart", "").count(b"calling for help") == 1


def test_drawings_of_the_places_of_steps_fill_room_that_is_left() -> None:
    chart = maker(*SAMPLE[0]).chart(8)
    pages = wall_pages(chart, "a4", DATE)
    assert len(pages) == len(wall_pages(replace(chart, figures=()), "a4", DATE))
    assert judged(pages_pdf(pages, chart.title)) == []
    says = {mark.says for panel in pages[0].panels for mark in panel.marks if isinstance(mark, TextMark)}
    shown = [figure for figure in chart.figures if figure.marked.drawing.title in says]
    assert shown
    labels = {item.label for item in steps_of(chart)}
    for place in (place for figure in shown for place in figure.legend):
        assert set(place.rpartition(": ")[2].split(", ")) <= labels


def test_the_card_is_one_sheet() -> None:
    made = pouch_card(maker(*SAMPLE[0]), "a4", DATE)
    assert len(made.pages) == 1
    assert judged(pages_pdf(made.pages, "card")) == []


def test_the_picture_is_the_first_page_with_a_title_and_a_description() -> None:
    made = printed(SAMPLE[0], 1)
    picture = ET.fromstring(page_svg(made.pages[0], made.chart.title, "described"))
    tags = [element.tag.rpartition("}")[2] for element in picture]
    assert tags[:2] == ["title", "desc"]
    assert page_png(made.pages[0]).startswith(b"\x89PNG")


def hostile(chart: Chart) -> Chart:
    nasty = '<b>&"\u202e\x1b[31m</script><script>alert(1)</script> ' + "w" * 70
    boxes = tuple(
        replace(box, check=nasty, exits=tuple(replace(way, answer=nasty) for way in box.exits))
        for box in chart.boxes
    )
    return replace(chart, title=nasty, machine=nasty, boxes=boxes, cautions=((nasty, nasty),))


def test_hostile_words_stay_words() -> None:
    chart = hostile(printed(SAMPLE[1], 3).chart)
    pages = wall_pages(chart, "a4", DATE)
    assert judged(pages_pdf(pages, chart.title)) == []
    assert ET.fromstring(page_svg(pages[0], chart.title, chart.title)) is not None
    assert card_page(chart, "a4", DATE)
    page = guided_page(chart, {}, pages, DATE).decode()
    assert "<script>alert" not in page
    assert "\x1b" not in page


def test_the_page_holds_every_step_and_how_it_is_done() -> None:
    made = printed(SAMPLE[0], 1)
    session = maker(*SAMPLE[0]).session
    how = how_to(session.library, session.model.machine)
    page = guided_page(made.chart, how, made.pages, DATE).decode()
    assert len(page) < 400_000
    found = re.search(r'id="data">(.*?)</script>', page, re.DOTALL)
    assert found
    data = json.loads(found[1])
    for step in data["steps"].values():
        for _, target in step["ways"]:
            assert target in data["steps"] or target in {"cured", "end"}
    assert data["first"] in data["steps"]
    assert all(step["how"] for step in data["steps"].values() if step["repair"])


def test_the_booklet_tells_each_check_and_repair_once() -> None:
    library = loaded().library
    machine = library.machines["points-moped"]  # type: ignore[index]
    wanted = ["plug-look-after-cranking", "fit-new-plug"]
    known = [id_ for id_ in how_to(library, machine) if id_ in wanted or id_.startswith("fit-new")]
    pages = booklet(library, machine, "a4", DATE, known)
    assert judged(pages_pdf(pages, "how to")) == []
