"""Every shipped picture can be read: texts inside their symbols, none on another or on a line, none cut off.

Judged by the places that the pictures themselves give, with the widths of the font that viewers ask for.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from documents.page_geometry import small_text, text_off_the_page, text_on_lines, text_on_text
from documents.small_chart import hostile_chart, long_chart, spark_chart
from documents.svg_geometry import leaf_of, width
from kickover.documents.charts.chart import Chart
from kickover.documents.charts.chart_picture import draw_chart
from kickover.documents.dot_text import Drawing, Words, block
from kickover.documents.renderer import Program, bundled_dot, render, system_dot

DIAGRAMS = Path(__file__).parents[2] / "diagrams"
PICTURES = sorted(path for kind in ("tree", "event", "chart") for path in DIAGRAMS.glob(f"{kind}-*.svg"))
CHARTS = {"spark": spark_chart(), "hostile": hostile_chart(), "long": long_chart(14)}
PROGRAMS = [one for one in (system_dot(), bundled_dot()) if one is not None]


def faults_of(svg: bytes) -> list[str]:
    leaf = leaf_of(svg)
    return [
        fault
        for check in (small_text, text_off_the_page, text_on_text, text_on_lines)
        for fault in check(leaf)
    ]


@pytest.mark.parametrize("picture", PICTURES, ids=lambda one: one.stem)
def test_pictures_can_be_read(picture: Path) -> None:
    assert faults_of(picture.read_bytes()) == []


@pytest.mark.parametrize("program", PROGRAMS, ids=lambda one: "bundled" if one.bundled else "system")
@pytest.mark.parametrize("chart", CHARTS.values(), ids=CHARTS)
def test_charts_can_be_read_whichever_program_draws_them(chart: Chart, program: Program) -> None:
    assert faults_of(render(draw_chart(chart), "svg", program)) == []


@pytest.mark.parametrize(
    ("shape", "wide", "says"),
    [
        ("box", 30.0, "a line runs through"),
        ("diamond", 70.0, "a line runs through"),
        ("invtrapezium", 66.0, "a line runs through"),
    ],
)
def test_text_that_leaves_its_symbol_would_be_seen(shape: str, wide: float, says: str) -> None:
    drawing = Drawing((Words("Broken"),), "TB")
    drawing.shape("one", shape, block((Words("Carburettor"), Words("Carburettor")), 200), (wide, 30))
    assert any(says in fault for fault in faults_of(render(drawing.dot, "svg", bundled_dot())))


def test_texts_on_each_other_and_small_ones_and_those_beyond_the_edge_would_be_seen() -> None:
    broken = b"""<svg width="200pt" height="100pt" xmlns="http://www.w3.org/2000/svg">
    <g transform="scale(1 1) rotate(0) translate(4 96)">
    <text text-anchor="start" x="20" y="-50" font-size="10.00">Petrol tap</text>
    <text text-anchor="start" x="30" y="-52" font-size="10.00">Fuel line</text>
    <text text-anchor="start" x="20" y="-20" font-size="7.00">Small</text>
    <text text-anchor="middle" x="190" y="-70" font-size="10.00">Beyond</text>
    </g></svg>"""
    assert [fault.split(" ")[-1] for fault in faults_of(broken)[:2]] == ["points", "edge"]
    assert any("are on each other" in fault for fault in faults_of(broken))


# Adobe's metrics of Helvetica, from memory: a space is 278, H 722 and the digits 556 thousandths wide.
@pytest.mark.parametrize(("says", "thousandths"), [("H", 722), (" ", 278), ("0123456789", 5560)])
def test_widths_are_those_that_are_published(says: str, thousandths: int) -> None:
    assert width(says, 1000, bold=False) == pytest.approx(thousandths)
