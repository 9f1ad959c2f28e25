"""A thousand labels that try to break out of DOT, SVG, PDF and HTML: each stays a label."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from documents.pdf_text import pages_of
from kickover.documents.page_output import pages_pdf
from kickover.documents.renderer import Program, bundled_dot, render, system_dot
from kickover.documents.trees.fault_tree import draw_tree
from kickover.documents.trees.tree_pages import tree_pages
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


@pytest.mark.parametrize("program", PROGRAMS)
def test_hostile_titles_of_a_fault_tree_stay_titles(program: Program) -> None:
    library = courier_library()
    labels = iter(hostile(500, seed=11))
    causes = {id_: replace(one, title=next(labels)) for id_, one in library.causes.items()}
    checks = {id_: replace(one, title=next(labels)) for id_, one in library.checks.items()}
    renamed = replace(library, causes=causes, checks=checks)
    wild = draw_tree(renamed, "will-not-start").dot
    tame = draw_tree(library, "will-not-start").dot
    nodes = [
        svg.count(b'class="node"') for svg in (render(wild, "svg", program), render(tame, "svg", program))
    ]
    assert nodes[0] == nodes[1]
    pages = tree_pages(renamed, "will-not-start", None, "a4", DATE).pages
    assert len(pages_of(pages_pdf(pages, "wild"))) == len(pages)
