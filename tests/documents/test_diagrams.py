from __future__ import annotations

from pathlib import Path

from kickover.authoring import load_or_raise, shipped_folder
from kickover.documents.trees.tree_gallery import all_trees, stale

DIAGRAMS = Path(__file__).parents[2] / "diagrams"


def test_the_drawn_trees_show_the_library_as_it_is() -> None:
    wanted = all_trees(load_or_raise(shipped_folder()))
    assert len(wanted) > 20
    assert stale(DIAGRAMS, wanted) == (), "run: kickover draw all diagrams"
