"""The pictures for review show the library as it is: compared by what is drawn, not by the library's text."""

from __future__ import annotations

from pathlib import Path

import pytest

from kickover.cli.draw_chart import draw_charts
from kickover.documents.trees.tree_gallery import all_trees, stale
from worlds.shipped_library import loaded, shipped

DIAGRAMS = Path(__file__).parents[2] / "diagrams"
MACHINES = ("clip-on-two-stroke", "points-moped")
COMPLAINTS = ("no-spark-seen", "will-not-start", "starts-then-dies", "no-power", "vibrates")
RENEW = "renew them with the command in DEVELOPERS.md"


def test_the_drawn_trees_show_the_library_as_it_is() -> None:
    assert stale(DIAGRAMS, all_trees(shipped())) == (), RENEW


def test_the_folder_stays_small() -> None:
    files = list(DIAGRAMS.iterdir())
    assert len(files) <= 40
    assert sum(file.stat().st_size for file in files) <= 3_000_000


@pytest.mark.slow
def test_the_drawn_charts_are_what_is_printed_now(tmp_path: Path) -> None:
    for name in draw_charts(loaded(), tmp_path, MACHINES, COMPLAINTS):
        assert (tmp_path / name).read_bytes() == (DIAGRAMS / name).read_bytes(), f"{name}: {RENEW}"
