"""Four of the Aralia benchmark trees, industrial fault trees with published counts and probabilities.

Expected values: the table in the README of github.com/openpra-org/aralia-fault-tree-dataset. The trees have
no known licence and are not kept here. To run these tests, put the short text form of them (NAME.txt, one
`gate := formula` or `p(event) = number` a line) into a folder and name it in ARALIA_TREES.
"""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest

from reference.cut_sets import minimal_cut_sets
from reference.diagram_queries import top_probability
from reference.votes_tree import FaultTree, Votes, basic_events

FOLDER = os.environ.get("ARALIA_TREES")
pytestmark = pytest.mark.skipif(FOLDER is None, reason="ARALIA_TREES does not name a folder with the trees")

PROBABILITY = re.compile(r"p\((\w+)\)=(\S+)")
GATE = re.compile(r"(\w+):=(?:@\((\d+),)?(.*)")
INPUT = re.compile(r"\b[eg]\d+\b")


def read_tree(text: str) -> tuple[FaultTree, dict[str, float]]:
    """Read `p(e1)=0.01` and `g1:=(e1 | g2)`, `(e1 & g2)` or `@(2,[e1,e2,e3])`; the top is `r1`."""
    q = {event: float(value) for event, value in PROBABILITY.findall(text)}
    gates = {}
    for name, least, formula in GATE.findall(text):
        inputs = tuple(INPUT.findall(formula))
        everything = len(inputs) if "&" in formula else 1
        gates[name] = Votes(int(least or everything), inputs)
    return FaultTree("r1", gates), q


@pytest.mark.parametrize(
    ("name", "events", "gates", "cut_sets", "probability"),
    [
        ("chinese", 25, 36, 392, "1.17058E-03"),
        ("ftr10", 175, 94, 305, "4.48677E-01"),
        ("isp9605", 32, 40, 5_630, "1.37171E-05"),
        ("isp9606", 89, 41, 1_776, "5.43174E-02"),
    ],
)
def test_published_counts_and_probability(
    name: str, events: int, gates: int, cut_sets: int, probability: str
) -> None:
    assert FOLDER is not None
    tree, q = read_tree(Path(FOLDER, f"{name}.txt").read_text(encoding="utf-8"))
    assert len(basic_events(tree)) == events
    assert len(tree.gates) == gates
    assert len(minimal_cut_sets(tree)) == cut_sets
    assert f"{top_probability(tree, q):.5E}" == probability
