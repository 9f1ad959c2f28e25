from __future__ import annotations

import json
import re
import subprocess
from itertools import combinations
from typing import Any

import pytest

from kickover.documents.renderer import bundled_dot
from kickover.documents.trees.branches import TreeError
from kickover.documents.trees.fault_tree import UnknownTreeError, draw_tree
from worlds.tree_library import cause, courier_library, four_stroke, gate, library, two_stroke


def laid_out(dot: str) -> dict[str, Any]:
    """The picture as the program from pip lays it out: every node with its shape and place."""
    program = bundled_dot()
    assert program is not None
    done = subprocess.run([program.path, "-Tjson"], input=dot.encode(), capture_output=True, check=True)
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def nodes(dot: str) -> dict[str, dict[str, Any]]:
    return {one["name"]: one for one in laid_out(dot)["objects"]}


def edges(dot: str) -> set[tuple[str, str, str]]:
    layout = laid_out(dot)
    names = {one["_gvid"]: one["name"] for one in layout["objects"]}
    return {(names[one["tail"]], names[one["head"]], one.get("style", "")) for one in layout["edges"]}


def test_each_kind_of_event_has_its_own_shape() -> None:
    drawn = nodes(draw_tree(courier_library(), "ignition").dot)
    assert drawn["switch-shorted"]["shape"] == "box"
    assert drawn["switch-shorted"]["style"] == "rounded"
    assert drawn["rain"]["shape"] == "house"
    assert drawn["no-spark to plug-wet"]["shape"] == "hexagon"
    assert drawn["checks of no-spark"]["shape"] == "note"


# IEC 61025 marks an OR gate `≥1`, an AND gate `&` (from memory: the qualifying symbols of IEC 60617-12).
@pytest.mark.parametrize(("needed", "mark"), [(1, "≥1"), (2, "2/3"), (3, "&amp;")])
def test_the_gate_carries_its_mark(needed: int, mark: str) -> None:
    tree = library([gate("top", ["a", "b", "c"], needed=needed)], [cause("a"), cause("b"), cause("c")])
    assert f"<b>{mark}</b>" in nodes(draw_tree(tree, "top").dot)["top"]["label"]


def test_a_weak_link_stands_in_the_line_with_its_chance() -> None:
    dot = draw_tree(courier_library(), "ignition").dot
    assert nodes(dot)["no-spark to plug-wet"]["label"] == "3 in 10"
    assert {("no-spark", "no-spark to plug-wet", ""), ("no-spark to plug-wet", "plug-wet", "")} <= edges(dot)


def test_checks_hang_by_dashed_lines() -> None:
    assert ("no-spark", "checks of no-spark", "dashed") in edges(draw_tree(courier_library(), "ignition").dot)


def test_what_the_complaint_implies_hangs_by_a_dotted_line() -> None:
    assert ("will-not-start", "rain", "dotted") in edges(draw_tree(courier_library(), "will-not-start").dot)


def test_an_event_that_two_gates_share_is_drawn_once() -> None:
    tree = library([gate("top", ["a", "b"]), gate("a", ["c"]), gate("b", ["c"])], [cause("c")])
    assert {("a", "c", ""), ("b", "c", "")} <= edges(draw_tree(tree, "top").dot)


def test_a_large_state_of_another_tree_ends_in_a_triangle_with_that_trees_name() -> None:
    picture = draw_tree(courier_library(), "will-not-start")
    drawn = nodes(picture.dot)
    assert picture.transfers == ("no-spark", "no-fuel")
    assert drawn["no-fuel goes on"]["shape"] == "triangle"
    assert "tree: fuel" in drawn["no-fuel"]["label"]
    assert "tap-shut" not in drawn


def test_what_the_machine_cannot_have_is_left_out() -> None:
    assert "hose-kinked" in nodes(draw_tree(courier_library(), "fuel", two_stroke()).dot)
    assert "hose-kinked" not in nodes(draw_tree(courier_library(), "fuel", four_stroke()).dot)


def test_a_tree_that_the_machine_cannot_have_at_all_is_an_error() -> None:
    with pytest.raises(TreeError, match="Valley moped cannot have this"):
        draw_tree(courier_library(), "hose-kinked", four_stroke())


def test_the_same_library_gives_the_same_bytes_without_a_date() -> None:
    first, second = (draw_tree(courier_library(), "will-not-start").dot for _ in range(2))
    assert first == second
    assert not re.search(r"20\d\d-", first)


def test_the_legend_explains_what_is_drawn_and_nothing_else() -> None:
    legend = {name for name in nodes(draw_tree(courier_library(), "fuel").dot) if name.startswith("legend")}
    assert legend == {"legend gate", "legend cause"}


def test_nothing_is_told_by_colour() -> None:
    dot = draw_tree(courier_library(), "will-not-start").dot
    assert set(re.findall(r"color=\"?([\w#]+)", dot)) == {"black", "white"}


@pytest.mark.parametrize("name", ["ignition", "will-not-start", "no-fuel"])
def test_no_two_boxes_overlap(name: str) -> None:
    boxes = []
    for node in nodes(draw_tree(courier_library(), name).dot).values():
        if "pos" not in node:
            continue
        x, y = (float(part) for part in node["pos"].split(","))
        half_wide, half_high = float(node["width"]) * 36, float(node["height"]) * 36
        boxes.append((x - half_wide, y - half_high, x + half_wide, y + half_high))
    for (left, low, right, high), (west, south, east, north) in combinations(boxes, 2):
        assert right <= west or east <= left or high <= south or north <= low


def test_an_unknown_name_brings_the_nearest_ones() -> None:
    with pytest.raises(UnknownTreeError, match="did you mean no-spark"):
        draw_tree(courier_library(), "no-sparks")


def test_a_cause_can_be_drawn_by_itself() -> None:
    drawn = nodes(draw_tree(courier_library(), "switch-shorted").dot)
    assert "×\u00a03 rain" in drawn["switch-shorted"]["label"]
