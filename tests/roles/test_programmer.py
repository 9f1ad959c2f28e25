"""A programmer's session: Python, JSON with its schemas, a walk over lines, what goes wrong."""

from __future__ import annotations

import json

import pytest
from jsonschema import Draft202012Validator

import kickover
from kickover.core.problem import KickoverError
from roles.desk import Desk


def test_a_programmer_uses_it_from_python(home: object) -> None:
    library = kickover.load()
    walk = library.walk("no-spark-seen", "clip-on-two-stroke", kit="pouch")
    before = walk.ranking()[0].probability
    walk.record("kill-switch-in-run", "no")
    assert walk.ranking()[0].cause == "kill-switch-off"
    assert walk.ranking()[0].probability > before
    walk.back()
    assert walk.next_step().kind == "check"
    with pytest.raises(KickoverError, match="did you mean 'clip-on-two-stroke'"):
        library.machine("clip-on-two-stroek")


def test_a_programmer_reads_json_by_its_schema(desk: Desk) -> None:
    line = "rank no-spark-seen --machine clip-on-two-stroke --saw kill-switch-in-run=no"
    ranked = desk.reads(line)
    Draft202012Validator(json.loads(desk.types("schema rank"))).validate(ranked)
    assert ranked["causes"][0]["id"] == "kill-switch-off"
    assert ranked["next"]["kind"] in {"check", "repair"}
    shown = desk.reads("show " + ranked["causes"][0]["id"])
    Draft202012Validator(json.loads(desk.types("schema show"))).validate(shown)


def test_a_programmer_holds_a_walk_over_lines(desk: Desk) -> None:
    answers = [json.dumps({"answer": one}) for one in ("likely", "", "stop", "")]
    line = "walk no-spark-seen --machine clip-on-two-stroke --json-lines"
    lines = [json.loads(one) for one in desk.types(line, *answers, leaves_with=1).splitlines()]
    schema = Draft202012Validator(json.loads(desk.types("schema walk")))
    assert all(schema.is_valid(one) for one in lines)
    assert lines[-1] == {"what": "end", "outcome": "given-up", "walk": lines[-1]["walk"]}


def test_wrong_usage_and_wrong_names_have_their_exit_codes(desk: Desk) -> None:
    assert "did you mean 'rank'" in desk.types("rnak", leaves_with=2)
    assert "did you mean" in desk.types("show kill-swich-shorted", leaves_with=1)
    assert "--machine" in desk.types("rank no-spark-seen", leaves_with=2)
