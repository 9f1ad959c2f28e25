"""The system's `dot` and the one from pip read what we write, and draw the same nodes and edges from it."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import pytest

from kickover import api
from kickover.authoring import load_or_raise, shipped_folder
from kickover.documents.charts.chart_picture import draw_chart
from kickover.documents.charts.compiling import Printing, compile_chart
from kickover.documents.renderer import bundled_dot, render, system_dot
from kickover.documents.trees.tree_gallery import all_trees

needs_dot = pytest.mark.skipif(
    system_dot() is None, reason="no `dot` on this machine: apt-get install graphviz"
)
TREES = all_trees(load_or_raise(shipped_folder()))
QUICK = ("races", "kicks-back", "bogs")
"""Complaints whose charts are compiled in a second or two when only likely branches are printed."""


def drawn(svg: bytes) -> tuple[list[str], list[str], list[str]]:
    """The names of nodes and of edges in a picture, and its texts, in order of the alphabet."""
    root = ET.fromstring(svg)
    named: dict[str, list[str]] = {"node": [], "edge": []}
    for group in root.iter("{http://www.w3.org/2000/svg}g"):
        kind, title = group.get("class"), group.find("{http://www.w3.org/2000/svg}title")
        if kind in named and title is not None:
            named[kind].append(re.sub(r":[ewns](?=->|$)", "", title.text or ""))
    texts = [(one.text or "").strip() for one in root.iter("{http://www.w3.org/2000/svg}text")]
    return sorted(named["node"]), sorted(named["edge"]), sorted(text for text in texts if text)


@needs_dot
@pytest.mark.parametrize("name", TREES)
def test_both_draw_the_same_tree(name: str) -> None:
    assert drawn(render(TREES[name], "svg", system_dot())) == drawn(render(TREES[name], "svg", bundled_dot()))


@needs_dot
@pytest.mark.parametrize("complaint", QUICK)
def test_both_draw_the_same_chart(complaint: str) -> None:
    session = api.load().walk(complaint, "clip-on-two-stroke", (), "pouch").session
    dot = draw_chart(compile_chart(session, Printing(0.05)).chart)
    ours, theirs = drawn(render(dot, "svg", bundled_dot())), drawn(render(dot, "svg", system_dot()))
    assert ours == theirs
    assert len(ours[0]) > 10
