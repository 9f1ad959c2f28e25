"""`kickover evaluate`: compares ways of choosing steps, the same for the same seed."""

from __future__ import annotations

import json
from pathlib import Path
from xml.etree import ElementTree

import pytest

from kickover.cli.evaluate import verdict
from kickover.cli.main import run
from kickover.documents.evaluation_picture import ComparisonBar, comparison
from kickover.simulation.scores import Interval, Score

COMMAND = ["evaluate", "no-spark-seen", "--machine", "clip-on-two-stroke", "--walks", "6", "--jobs", "1"]


def test_two_planners_are_compared(capfd: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    picture = tmp_path / "comparison.svg"
    chosen = ["--planner", "kickover", "--planner", "cheapest-first", "-o", str(picture)]
    assert run([*COMMAND, *chosen]) == 0
    shown = capfd.readouterr().out
    assert "kickover" in shown
    assert "cheapest-first" in shown
    assert shown.splitlines()[-1].startswith("Verdict: kickover mends ")
    assert ElementTree.parse(picture).getroot().tag.endswith("svg")


def test_the_same_seed_gives_the_same_numbers_on_any_number_of_processes(
    capfd: pytest.CaptureFixture[str],
) -> None:
    results = []
    for jobs in ("1", "2"):
        arguments = [*COMMAND[:-1], jobs, "--planner", "cheapest-first", "--seed", "3", "--json"]
        assert run(arguments) == 0
        results.append(json.loads(capfd.readouterr().out))
    assert results[0] == results[1]
    (planner,) = results[0]["planners"]
    assert planner["walks"] == 6
    assert planner["first_over_this"]["mean"] == 1.0


def test_an_unknown_complaint_is_named(capfd: pytest.CaptureFixture[str]) -> None:
    assert run(["evaluate", "no-such-thing", "--machine", "clip-on-two-stroke"]) == 1
    assert "no-such-thing" in capfd.readouterr().err


def test_an_order_that_is_not_there_is_asked_for(capfd: pytest.CaptureFixture[str]) -> None:
    assert run([*COMMAND, "--planner", "expert-order"]) == 1
    assert "expert-orders" in capfd.readouterr().err


def test_the_picture_has_a_bar_for_each_and_speaks_no_markup() -> None:
    bars = [
        ComparisonBar("one & only", 40.0, 35.0, 45.0, 90.0),
        ComparisonBar("<other>", 60.0, 55.0, 65.0, 120.0),
    ]
    picture = comparison("A < B", bars, [(0.2, 0.25), (0.9, 0.8)])
    root = ElementTree.fromstring(picture)
    texts = {one.text for one in root.iter() if one.text}
    assert {"one & only", "<other>", "A < B"} <= texts
    assert len([one for one in root.iter() if one.tag.endswith("circle")]) == 2


def test_the_verdict_tells_apart_only_what_the_engines_tell_apart() -> None:
    none = (0.0, 0.0, 0.0)
    looked = Score(50, Interval(20.0, 18.0, 22.0), 30.0, *none, 0.9, *none, 0.0, (), (), 0.0)
    ratios = {
        "ours": Interval(1.0, 1.0, 1.0),
        "slow": Interval(0.8, 0.7, 0.9),
        "like": Interval(0.9, 0.8, 1.1),
    }
    assert verdict(dict.fromkeys(ratios, looked), ratios) == (
        "Verdict: ours mends 90% of the engines in 20 minutes on average; it is faster than slow;"
        " it cannot be told from like on so few engines."
    )
    assert verdict({"ours": looked}, ratios).endswith("in 20 minutes on average.")
