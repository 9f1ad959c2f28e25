"""A thousand labels that try to break out of DOT, SVG, PDF and HTML: each stays a label."""

from __future__ import annotations

import io
import random
import xml.etree.ElementTree as ET
from dataclasses import replace
from html.parser import HTMLParser

import pdfplumber
import pytest

from documents.page_geometry import (
    blank,
    leaves_of,
    small_text,
    text_off_the_page,
    text_on_lines,
    text_on_text,
)
from documents.pdf_text import pages_of
from documents.small_chart import long_chart
from documents.svg_geometry import leaf_of
from kickover.documents.charts.chart import Chart
from kickover.documents.charts.chart_picture import draw_chart
from kickover.documents.charts.offline_page import chart_page
from kickover.documents.charts.pouch_card import pouch_card
from kickover.documents.charts.sheets import chart_pdf
from kickover.documents.renderer import Program, bundled_dot, render, system_dot
from kickover.documents.trees.fault_tree import draw_tree
from kickover.documents.trees.tree_sheets import tree_pdf
from worlds.tree_library import courier_library

DATE = "25 November 2026"
PIECES = (
    '"', "'", "\\", "\\N", "\\G", "\\l", "<", ">", "&", "&amp;", "&#0;", "]]>", "<!--", "-->", "<b>",
    "</table>",
    "</script>", "<script>alert(1)</script>", "<img src=x onerror=alert(1)>", "javascript:", "${title}",
    "$data",
    "{", "}", "|", "[", "]", ";", "digraph {", "-> x;", "//", "/*", "#", "%", "%%EOF", "endobj", "(", ")",
    "\\)",
    "\x00", "\x07", "\x1b[31m", "\x7f", "\n", "\r\n", "\t", "\u2028", "\u202e", "\ufeff", "\ud800",
    "\U0010ffff",
    "Ω", "≥", "жук", "é", "e\u0301", "漢字", "🔧", "ﷺ", "a" * 90,
)  # fmt: skip
PROGRAMS = [
    pytest.param(bundled_dot(), id="bundled"),
    pytest.param(
        system_dot(),
        id="system",
        marks=pytest.mark.skipif(system_dot() is None, reason="no `dot` here: apt-get install graphviz"),
    ),
]


def hostile(count: int, seed: int = 7) -> list[str]:
    rng = random.Random(seed)
    return [
        "".join(rng.choice((*PIECES, " ", "word ")) for _ in range(rng.randint(1, 9))) for _ in range(count)
    ]


def thousand() -> tuple[Chart, int]:
    """A chart of which every label is hostile, and how many labels it has."""
    base = long_chart(60)
    labels = iter(hostile(5000))
    used = 0

    def label() -> str:
        nonlocal used
        used += 1
        return next(labels)

    nodes = tuple(
        replace(
            node,
            title=label(),
            note=label(),
            lines=tuple(label() for _ in node.lines),
            tools=tuple(label() for _ in node.tools),
            sketch=label(),
            branches=tuple(replace(branch, label=label(), stop=label()) for branch in node.branches),
        )
        for node in base.nodes
    )
    return replace(base, nodes=nodes, complaint=label(), machine=label(), notes=(label(),)), used


@pytest.fixture(scope="module")
def chart() -> Chart:
    made, labels = thousand()
    assert labels >= 1000
    return made


@pytest.mark.parametrize("program", PROGRAMS)
def test_both_programs_draw_every_step_and_nothing_else(chart: Chart, program: Program) -> None:
    picture = ET.fromstring(render(draw_chart(chart), "svg", program))
    names = {one.tag.split("}")[1] for one in picture.iter()}
    assert names <= {"svg", "g", "title", "desc", "polygon", "path", "text", "polyline", "ellipse", "a"}
    groups = [one for one in picture.iter() if one.get("class") == "node"]
    ways = sum(len(node.branches) for node in chart.nodes)
    assert len(groups) >= len(chart.nodes)
    assert len(groups) <= len(chart.nodes) + 2 * ways


@pytest.mark.parametrize("program", PROGRAMS)
def test_hostile_labels_stay_inside_their_symbols(chart: Chart, program: Program) -> None:
    leaf = leaf_of(render(draw_chart(chart), "svg", program))
    assert [*small_text(leaf), *text_off_the_page(leaf), *text_on_text(leaf), *text_on_lines(leaf)] == []


@pytest.mark.parametrize("program", PROGRAMS)
def test_hostile_titles_of_a_fault_tree_stay_titles(program: Program) -> None:
    library = courier_library()
    labels = iter(hostile(500, seed=11))
    causes = {id_: replace(one, title=next(labels)) for id_, one in library.causes.items()}
    checks = {id_: replace(one, title=next(labels)) for id_, one in library.checks.items()}
    wild = draw_tree(replace(library, causes=causes, checks=checks), "will-not-start").dot
    tame = draw_tree(library, "will-not-start").dot
    nodes = [
        svg.count(b'class="node"') for svg in (render(wild, "svg", program), render(tame, "svg", program))
    ]
    assert nodes[0] == nodes[1]
    assert len(pages_of(tree_pdf(render(wild, "svg", program), next(labels), next(labels), DATE))) >= 1


@pytest.fixture(scope="module")
def sheets(chart: Chart) -> bytes:
    return chart_pdf(chart, DATE)


def test_sheets_and_cards_open_and_hold_every_step(chart: Chart, sheets: bytes) -> None:
    leaves = list(leaves_of(sheets))
    assert len(leaves) > 20
    assert len(pages_of(pouch_card(chart, DATE))) == 1
    for leaf in leaves:
        assert [*small_text(leaf), *text_off_the_page(leaf), *text_on_lines(leaf), *blank(leaf)] == []


def test_no_label_becomes_an_action_of_the_pdf(chart: Chart, sheets: bytes) -> None:
    for pdf in (sheets, pouch_card(chart, DATE)):
        with pdfplumber.open(io.BytesIO(pdf)) as opened:
            catalog = opened.doc.catalog
            links = [annot["data"] for page in opened.pages for annot in page.annots]
        assert not {"OpenAction", "AA", "AcroForm"} & set(catalog)
        assert all("Dest" in link and "A" not in link for link in links)


def test_the_page_has_the_elements_of_a_tame_one(chart: Chart) -> None:
    class Elements(HTMLParser):
        def __init__(self, page: str) -> None:
            super().__init__()
            self.tags: set[str] = set()
            self.handlers: set[str] = set()
            self.feed(page)

        def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
            self.tags.add(tag)
            self.handlers |= {name for name, _ in attrs if name.startswith("on")}

    tame, wild = Elements(chart_page(long_chart(60), DATE)), Elements(chart_page(chart, DATE))
    assert wild.tags <= tame.tags | {"pre"}
    assert wild.handlers == set()
    assert chart_page(chart, DATE).encode()
