from __future__ import annotations

from pathlib import Path

from kickover.documents.trees.tree_gallery import all_trees, renew, stale
from worlds.tree_library import courier_library


def test_every_named_tree_is_drawn() -> None:
    assert set(all_trees(courier_library())) == {"tree-ignition", "tree-fuel"}


def test_a_renewed_folder_is_not_stale(tmp_path: Path) -> None:
    wanted = all_trees(courier_library())
    assert set(renew(tmp_path, wanted)) == set(wanted)
    assert stale(tmp_path, wanted) == ()
    assert {path.name for path in tmp_path.iterdir()} == {f"{name}.svg" for name in wanted}


def test_changed_missing_and_unwanted_pictures_are_stale_and_renewed(tmp_path: Path) -> None:
    old = {"tree-a": "digraph { a }", "tree-b": "digraph { b }", "tree-c": "digraph { c }"}
    assert set(renew(tmp_path, old)) == set(old)
    (tmp_path / "tree-c.svg").unlink()
    new = {"tree-a": "digraph { aa }", "tree-c": "digraph { c }"}
    assert stale(tmp_path, new) == ("tree-a", "tree-b", "tree-c")
    assert list(renew(tmp_path, new)) == ["tree-a", "tree-b", "tree-c"]
    assert stale(tmp_path, new) == ()


def test_drawings_that_are_not_ours_are_left_alone(tmp_path: Path) -> None:
    (tmp_path / "sketch.svg").write_text("<svg/>")
    assert list(renew(tmp_path, {})) == []
    assert (tmp_path / "sketch.svg").exists()
