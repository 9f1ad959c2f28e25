from __future__ import annotations

import re
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from documents.pdf_text import Glyph, glyphs_of, pages_of, text_of
from documents.small_chart import hostile_chart, long_chart, spark_chart
from kickover.documents.charts.chart import Chart, Node, NodeKind
from kickover.documents.charts.chart_order import in_order, numbered
from kickover.documents.charts.flow_parts import step_label
from kickover.documents.charts.sheets import chart_pdf
from kickover.documents.dot_text import Words
from kickover.documents.paper import PAPERS, PaperError, PdfCanvas

DATE = "25 November 2026"
CHARTS = {"spark": spark_chart(), "hostile": hostile_chart(), "long": long_chart(14)}
NAMES = pytest.mark.parametrize("chart", CHARTS.values(), ids=CHARTS)
SIZES = pytest.mark.parametrize("paper", ["a4", "letter"])


# ISO 216: A4 is 210 mm by 297 mm; letter is 8.5 in by 11 in (ANSI/ASME Y14.1). Sheets lie on their side.
@pytest.mark.parametrize(("paper", "millimetres"), [("a4", (297, 210)), ("letter", (279.4, 215.9))])
def test_sheets_have_the_size_of_the_paper(paper: str, millimetres: tuple[float, float]) -> None:
    for page in pages_of(chart_pdf(spark_chart(), DATE, paper)):
        assert (page.wide / 72 * 25.4, page.high / 72 * 25.4) == pytest.approx(millimetres, abs=0.1)


def test_an_unknown_paper_is_refused() -> None:
    with pytest.raises(PaperError, match="choose a4 or letter"):
        chart_pdf(spark_chart(), DATE, "a5")


@NAMES
@SIZES
def test_no_text_leaves_the_page_or_is_smaller_than_8_points(chart: Chart, paper: str) -> None:
    pdf = chart_pdf(chart, DATE, paper)
    pages = pages_of(pdf)
    for one in glyphs_of(pdf):
        page = pages[one.page - 1]
        assert one.size >= 8 - 1e-6
        assert one.left >= 20
        assert one.right <= page.wide - 20
        assert one.top >= 20
        assert one.foot <= page.high - 20


def overlapping(one: Glyph, other: Glyph) -> bool:
    """Whether two letters cover each other by more than the play that neighbours on a line have."""
    across = min(one.right, other.right) - max(one.left, other.left)
    down = min(one.foot, other.foot) - max(one.top, other.top)
    return across > 1.2 and down > 0.45 * min(one.size, other.size)


def test_letters_on_top_of_each_other_would_be_seen() -> None:
    canvas = PdfCanvas(PAPERS["a4"], "")
    canvas.words(Words("Spark"), 100, 100)
    canvas.words(Words("Plug"), 103, 104)
    assert covered_letters(canvas.pdf())


def covered_letters(pdf: bytes) -> list[tuple[int, str, str]]:
    by_place: dict[tuple[int, int, int], list[Glyph]] = {}
    for one in glyphs_of(pdf):
        for column in range(int(one.left // 20), int(one.right // 20) + 1):
            for row in range(int(one.top // 20), int(one.foot // 20) + 1):
                by_place.setdefault((one.page, column, row), []).append(one)
    return [
        (one.page, one.says, other.says)
        for place in by_place.values()
        for one, other in combinations(place, 2)
        if overlapping(one, other)
    ]


@NAMES
@SIZES
def test_no_letter_covers_another(chart: Chart, paper: str) -> None:
    assert covered_letters(chart_pdf(chart, DATE, paper)) == []


@NAMES
def test_every_sheet_names_machine_library_date_and_its_number(chart: Chart) -> None:
    pages = pages_of(chart_pdf(chart, DATE))
    for number, page in enumerate(pages, 1):
        assert f"Sheet {number} of {len(pages)}" in page.says
        assert DATE in page.says
        assert "Invented library, version 1.0" in page.says
    if chart is CHARTS["spark"]:
        assert all(chart.machine in page.says for page in pages)


def flow_pages(pdf: bytes) -> dict[int, str]:
    """The flow sheets, by their numbers: those whose heading names steps."""
    found = {}
    for number, page in enumerate(pages_of(pdf), 1):
        if re.search(r"· steps? \d+( to \d+)?( |$)", page.says.splitlines()[0]):
            found[number] = page.says
    return found


def test_connectors_name_each_other_in_both_directions() -> None:
    chart = long_chart(14)
    pdf = chart_pdf(chart, DATE)
    flow = flow_pages(pdf)
    away = re.compile(r"(\d+)\s+sheet (\d+)(?!\))")
    back = re.compile(r"(\d+) \(sheet (\d+)\)")
    arrivals = {(number, int(sheet)) for number, says in flow.items() for _, sheet in back.findall(says)}
    departures = [
        (number, int(sheet))
        for number, says in flow.items()
        for _, sheet in away.findall(says)
        if int(sheet) in flow
    ]
    assert len(departures) > 10
    for here, there in departures:
        assert (there, here) in arrivals


def test_a_caution_stands_on_every_flow_sheet_with_its_step() -> None:
    flow = flow_pages(chart_pdf(spark_chart(), DATE))
    with_spark = [
        says
        for says in flow.values()
        if "Does a spark jump" in says.replace("\n", " ") or "5. Does a spark" in says
    ]
    assert with_spark
    for says in with_spark:
        assert "High voltage" in says
        assert "Fuel vapour" in says


@NAMES
def test_every_step_is_told_in_full_under_its_number(chart: Chart) -> None:
    told = " ".join(text_of(chart_pdf(chart, DATE)).split())
    for node in in_order(chart):
        assert f"{numbered(chart)[node.id]}. {node.title.split()[0]}" in told
        if chart is not CHARTS["hostile"]:
            assert all(" ".join(line.split()) in told for line in node.lines if len(line) < 50)


def test_letters_of_other_alphabets_survive() -> None:
    assert "жук Ω ≥" in text_of(chart_pdf(hostile_chart(), DATE))


def test_the_tool_list_and_the_limits_are_printed() -> None:
    says = pages_of(chart_pdf(spark_chart(), DATE))[-1].says
    assert "Multimeter 6" in says
    assert "3.5 to 6.5 kΩ common practice, no source" in says


def test_contents_and_connectors_are_links() -> None:
    pages = pages_of(chart_pdf(long_chart(14), DATE))
    assert len(pages[0].links) >= 10
    assert all(page.links for page in pages)


def test_the_same_chart_and_date_give_the_same_bytes() -> None:
    assert chart_pdf(spark_chart(), DATE) == chart_pdf(spark_chart(), DATE)


@given(st.text(max_size=200), st.sampled_from(list(NodeKind)), st.floats(100, 200))
def test_any_title_fits_inside_its_symbol(title: str, kind: NodeKind, wide: float) -> None:
    label, high = step_label(Node("a", kind, title, 3), 7, wide)
    if kind in (NodeKind.CHECK, NodeKind.PROOF):
        assert label.width / wide + label.height / high <= 1
    else:
        assert label.width <= wide
        assert label.height <= high
