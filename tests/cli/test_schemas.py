"""What the commands print for other programs has the form that `kickover schema` tells."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from cli.typed import run_typed
from kickover.cli.list import KINDS
from kickover.cli.main import run
from kickover.cli.schema import FORMS, schema_of

ON = ("--machine", "clip-on-two-stroke")
NARROW = ("--complaint", "no-spark-seen")
SAW = ("--saw", "kill-switch-in-run=yes", "--saw", "coil-primary-resistance=0.4 ohm")
COMMANDS: dict[str, list[tuple[str, ...]]] = {
    "rank": [
        ("rank", "no-spark-seen", *ON),
        ("rank", "no-spark-seen", *ON, *SAW),
        ("rank", "no-spark-seen,will-not-start", *ON, "--give-up", "0", "--done", "dry-stop-switch"),
    ],
    "list": [("list", kind) for kind in KINDS],
    "show": [("show", "kill-switch-shorted"), ("show", "stop", "switch")],
    "check": [("check",), ("check", "broken")],
    "figure": [("figure", "cranking-pressure", "ratio=7"), ("figure", "premix", "ratio=25", "fuel=5 L")],
    "formulas": [("figure",)],
    "table": [("figure", "cranking-pressure", "--over", "ratio=6..9")],
    "pack": [
        ("pack", *ON, "--grams", "900", *NARROW),
        ("pack", *ON, "--grams", "900", *NARROW, "--kit", "pouch", "--money", "20", "--prevention"),
    ],
    "service": [("service", *ON), ("service", *ON, "-o", "list.md")],
    "service-log": [("service", *ON, "--log"), ("service", *ON, "--hours", "30", "--done", "chain-care")],
    "settings": [("settings",)],
    "machine": [("machine", "check", "mine.yaml"), ("machine", "check", "broken/a.yaml")],
    "walks": [("walks", "list")],
    "cases": [("cases", "list")],
    "case": [("cases", "show", "CASE"), ("cases", "correct", "CASE", "--minutes", "12")],
    "learned": [("cases", "learn"), ("cases", "learn", "-o", "learned.yaml")],
    "import": [("cases", "import", "all.csv"), ("cases", "import", "odd.csv")],
    "export": [("cases", "export", "out.jsonl"), ("drill", "--export", "results.csv")],
    "class": [("drill", "--class")],
    "standings": [("drill", "--class", "--learner", "ada")],
    "tree": [("draw", "tree", "ignition"), ("draw", "tree", "no-spark", *ON, "-o", "tree.svg")],
    "chart": [
        ("draw", "chart", "no-power", "--machine", "moped", "--library", "YARD", "--pages", "1"),
        ("draw", "chart", "no-power", "--machine", "moped", "--library", "YARD", "--card", "-o", "card.svg"),
    ],
    "doctor": [("doctor",)],
    "evaluate": [("evaluate", "no-spark-seen", *ON, "--walks", "2", "--jobs", "1")],
    "lessons": [("drill", "--lessons")],
}
SLOW = ("evaluate",)


@pytest.fixture
def at_home(
    home: Path,
    tmp_path: Path,
    yard_folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> dict[str, str]:
    """A folder with a walk that was left, a case, a machine, and a library that is broken.

    Gives what stands for words in capitals.
    """
    monkeypatch.chdir(tmp_path)
    (tmp_path / "broken").mkdir()
    (tmp_path / "broken" / "a.yaml").write_text("causes: {tap: {title: 3}}\n", encoding="utf-8")
    text = "machine: {id: mine, title: Mine, traits: [two-stroke], figures: {bore: 400 mm}}\n"
    (tmp_path / "mine.yaml").write_text(text, encoding="utf-8")
    assert run_typed(monkeypatch, "note x\nquit\n", "walk", "no-spark-seen", *ON, "--plain") == 0
    case = (
        "--complaint",
        "no-spark-seen",
        "--cause",
        "kill-switch-shorted",
        "--saw",
        "kill-switch-in-run=yes",
    )
    assert run(["cases", "add", *ON, *case]) == 0
    assert run(["cases", "export", "all.csv"]) == 0
    lines = (tmp_path / "all.csv").read_text(encoding="utf-8")
    (tmp_path / "odd.csv").write_text(lines.replace("clip-on", "clap-on"), encoding="utf-8")
    capsys.readouterr()
    assert run(["cases", "list", "--json"]) == 0
    (kept,) = json.loads(capsys.readouterr().out)
    return {"CASE": kept["id"], "YARD": str(yard_folder)}


@pytest.mark.parametrize(
    "name", [pytest.param(one, marks=[pytest.mark.slow] if one in SLOW else []) for one in COMMANDS]
)
def test_what_a_command_prints_has_its_form(
    at_home: dict[str, str], capsys: pytest.CaptureFixture[str], name: str
) -> None:
    Draft202012Validator.check_schema(schema_of(name))
    for words in COMMANDS[name]:
        assert run([*(at_home.get(word, word) for word in words), "--json"]) in (0, 1)
        assert troubles(name, json.loads(capsys.readouterr().out)) == [], words


def test_a_drill_and_what_is_kept_of_it_have_their_forms(
    home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    drill = ("drill", "--lesson", "wet-or-dry", "--seed", "3", "--learner", "ada", "--json")
    assert run_typed(monkeypatch, "stop\n\n\n\n\n\n", *drill) == 1
    result = json.loads(capsys.readouterr().out)
    assert troubles("drill", result) == []
    assert result["learner"] == "ada"
    for name, words in (("class", ()), ("standings", ("--learner", "ada"))):
        assert run(["drill", "--class", *words, "--json"]) == 0
        rows = json.loads(capsys.readouterr().out)
        assert len(rows) == 1
        assert troubles(name, rows) == []


def troubles(form: str, data: Any) -> list[str]:
    """What of the data is not as its form says."""
    return [error.message for error in Draft202012Validator(schema_of(form)).iter_errors(data)]


def test_every_line_of_a_walk_has_its_form(
    home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    typed = "".join(
        f'{{"answer": "{one}"}}\n' for one in ("why", "", "likely", "", "1", "how", "", "skip", "stop", "")
    )
    run_typed(monkeypatch, typed, "walk", "no-spark-seen", *ON, "--json-lines")
    lines: list[dict[str, Any]] = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert {line["what"] for line in lines} == {"question", "remark", "end"}
    assert [trouble for line in lines for trouble in troubles("walk", line)] == []


def test_a_schema_refuses_what_is_not_of_its_form() -> None:
    assert not Draft202012Validator(schema_of("rank")).is_valid({"machine": "x"})
    assert not Draft202012Validator(schema_of("walk")).is_valid({"what": "remark"})


def test_all_forms_are_named_and_printed(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["schema"]) == 0
    assert capsys.readouterr().out.count("kickover ") >= len(FORMS)
    for name in FORMS:
        assert run(["schema", name]) == 0
        assert json.loads(capsys.readouterr().out)["title"]
    assert {*COMMANDS, "walk", "drill"} == set(FORMS)
