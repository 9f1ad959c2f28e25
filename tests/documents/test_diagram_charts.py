"""The charts in `diagrams/` are those of the library and the reasoning as they are.

Every one is compiled whole and walked, and every step of every path is held against a session that knows
nothing of the chart. Sessions that know the same and stand the same are asked once.
"""

from __future__ import annotations

from collections.abc import Hashable
from pathlib import Path

import pytest

from documents.chart_walks import is_beyond, walks
from kickover.authoring import load_or_raise, shipped_folder
from kickover.documents.charts.chart_gallery import (
    ShippedChart,
    chart_digest,
    held_digest,
    shipped_charts,
    stale_charts,
)
from kickover.documents.charts.compile_moves import StepKey, step_key
from kickover.documents.charts.compiling import compile_chart

DIAGRAMS = Path(__file__).parents[2] / "diagrams"
LIBRARY = load_or_raise(shipped_folder())
SHIPPED = shipped_charts(LIBRARY)
NOTHING_TO_MEND = {"kicks-back"}
"""Complaints of which the pouch mends next to nothing."""
BARS = {
    "no-power": 0.35,
    "bogs": 0.45,
    "will-not-start-after-storage": 0.45,
    "dies-when-hot": 0.5,
    "overheats": 0.5,
    "vibrates": 0.5,
    "drive-noise": 0.48,
    "will-not-idle": 0.5,
}
"""What these charts reach at least: their causes are many, or the pouch lacks what mends them."""
BAR = 0.57


def test_every_complaint_has_its_chart() -> None:
    assert {one.complaint for one in SHIPPED} == set(LIBRARY.complaints)
    assert len({name for one in SHIPPED for name in one.files.values()}) >= 25


def test_no_chart_is_out_of_date() -> None:
    assert stale_charts(DIAGRAMS, LIBRARY) == (), "run: kickover draw all diagrams"


@pytest.mark.parametrize("shipped", SHIPPED, ids=lambda one: f"{one.complaint}-{one.machine.id}")
def test_a_chart_is_whole_and_its_every_path_agrees_with_the_walk(shipped: ShippedChart) -> None:
    compiled = compile_chart(shipped.session(LIBRARY), shipped.printing(LIBRARY))
    for name in shipped.files.values():
        assert held_digest(DIAGRAMS / name) == chart_digest(compiled.chart), "run: kickover draw all diagrams"
    keys = {
        id_: node.step for id_, node in zip(compiled.steps, compiled.policy.nodes, strict=True) if node.step
    }
    known: dict[Hashable, StepKey] = {}
    walked = 0
    for stop in walks(compiled.chart, shipped.session(LIBRARY)):
        if is_beyond(stop.node):
            continue
        key = keys[stop.node.id]
        assert isinstance(key, StepKey)
        session = stop.session
        same = (frozenset(session.evidence), session.belief.made, session.job, session.proving)
        if same not in known:
            known[same] = step_key(session, session.task())
        assert key == known[same]
        walked += 1
    assert walked >= len(keys) > 1
    if shipped.complaint not in NOTHING_TO_MEND:
        assert compiled.confirmed >= BARS.get(shipped.complaint, BAR)
        assert compiled.confirmed > compiled.policy.confirmed + 0.05
