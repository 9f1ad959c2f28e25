"""`kickover pack` as a person types it, on the demo machines."""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path
from subprocess import CompletedProcess

import pdfplumber
import pexpect
import pytest

from cli.typed import ended
from documents.page_geometry import faults_of

NARROW = ("--complaint", "no-spark-seen")
"""Of one complaint alone the plan is the same and the work a tenth."""
COMMAND = [sys.executable, "-m", "kickover.cli.main", "pack"]


@pytest.fixture(autouse=True)
def _in_a_home(home: Path) -> None:
    """What is kept lies there."""


def run(*arguments: str) -> CompletedProcess[str]:
    return ended("pack", *arguments)


def test_what_to_carry_on_the_cargo_bike(tmp_path: Path) -> None:
    plot = tmp_path / "frontier.svg"
    done = run("--machine", "clip-on-two-stroke", "--grams", "1200", "--kit", "pouch", "--prevention",
                "--with", "phone", "-o", str(plot), "--json")  # fmt: skip
    assert done.returncode == 0, done.stderr
    said = json.loads(done.stdout)
    assert said["pack"]["grams"] <= 1200
    assert 0.5 < said["pack"]["probability"] < 1.0
    assert "plug-socket" in said["pack"]["items"]
    chances = [point["probability"] for point in said["frontier"]]
    assert chances == sorted(chances)
    assert len(chances) > 5
    assert chances[-1] == said["pack"]["probability"]
    assert said["kit"]["missing"][0]["gain"] > 0
    assert {one["service"] for one in said["prevention"]} >= {"new-plug", "new-fuel-filter"}
    assert plot.read_bytes().startswith(b"<svg")


def test_with_no_spark_on_the_clip_on_the_coil_of_its_magneto_is_carried_and_can_be_tested() -> None:
    done = run("--machine", "clip-on-two-stroke", "--grams", "1500",
                "--complaint", "no-spark-seen", "--json")  # fmt: skip
    said = json.loads(done.stdout)

    assert {"magneto-coil", "plug"} <= set(said["pack"]["items"])
    assert "spare-plug" not in said["pack"]["items"]
    assert said["pack"]["probability"] > 0.85


def test_a_complaint_that_the_machine_cannot_have_is_refused() -> None:
    done = run("--machine", "clip-on-two-stroke", "--grams", "500", "--complaint", "oil-smoke-of-a-tractor")

    assert done.returncode != 0
    assert "Traceback" not in done.stderr


def test_tighter_limits_never_help() -> None:
    chances = []
    for limits in ((), ("--litres", "0.5"), ("--litres", "0.5", "--money", "20")):
        done = run("--machine", "roller-two-stroke", "--grams", "900", *NARROW, *limits, "--json")
        pack = json.loads(done.stdout)["pack"]
        assert "--litres" not in limits or pack["litres"] <= 0.5
        assert "--money" not in limits or pack["money"] <= 20
        chances.append(pack["probability"])
    assert chances == sorted(chances, reverse=True)


def test_a_recorded_session_on_a_terminal(home: Path, read_before: Path) -> None:
    home.mkdir()
    (home / "cache").symlink_to(read_before)
    child = pexpect.spawn(
        COMMAND[0],
        [*COMMAND[1:], "--machine", "points-moped", "--grams", "700", "--kit", "pouch", *NARROW],
        env={**os.environ, "TERM": "xterm", "PAGER": "cat"},
        dimensions=(60, 120),
        encoding="utf-8",
        timeout=300,
    )
    child.expect("what to carry within 700 g")
    child.expect("of strandings end at home")
    child.expect("without it  item")
    child.expect("one does not get home")
    child.expect("The best chance for every weight:")
    child.expect("The kit as it is:")
    child.expect("What it lacks, most gain for the weight first:")
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 0


@pytest.mark.parametrize(
    ("arguments", "code", "words"),
    [
        (("--machine", "points-moped"), 2, "--grams"),
        (("--machine", "points-mopde", "--grams", "5"), 1, "did you mean 'points-moped'?"),
        (("--machine", "points-moped", "--grams", "-1"), 2, "x>=0"),
        (
            ("--machine", "points-moped", "--grams", "5", *NARROW, "--with", "plug-soket"),
            1,
            "did you mean 'plug-socket'?",
        ),
        (("--machine", "points-moped", "--grams", "5", "--kit", "poch"), 1, "did you mean 'pouch'?"),
        (
            ("--machine", "points-moped", "--grams", "5", "-o", "plot.txt"),
            2,
            "end its name in one of .svg, .pdf",
        ),
    ],
)
def test_wrong_usage_is_answered_in_words(arguments: tuple[str, ...], code: int, words: str) -> None:
    done = run(*arguments)
    assert done.returncode == code
    assert words in done.stderr
    assert "Traceback" not in done.stderr


def test_nothing_at_all_is_an_answer_too() -> None:
    done = run("--machine", "points-moped", "--grams", "0", *NARROW)
    assert done.returncode == 0
    assert "Nothing that can be carried within these limits helps." in done.stdout


def test_a_pack_as_a_list_by_its_places(tmp_path: Path) -> None:
    file = tmp_path / "pack.pdf"
    packed = ("--machine", "clip-on-two-stroke", "--grams", "1.5 kg", "--have", "pouch")
    done = run(*packed, *NARROW, "--list", str(file))
    assert done.returncode == 0, done.stderr
    assert "Best next thing to buy: " in done.stdout
    assert "Not counted: punctures" in done.stdout
    with pdfplumber.open(file) as pdf:
        words = pdf.pages[0].extract_text()
    for place in ("Tool roll", "On top, at hand", "Tin of spares"):
        assert place in words
    assert "Plug socket and bar 180 g" in words
    assert faults_of(file.read_bytes()) == []


def test_an_amount_takes_any_unit_that_fits() -> None:
    same = [
        run("--machine", "points-moped", "--grams", one, *NARROW, "--json").stdout
        for one in ("900", "0.9 kg")
    ]
    assert json.loads(same[0]) == json.loads(same[1])
    assert "pressure" in run("--machine", "points-moped", "--grams", "9 psi").stderr


def test_where_no_complaint_strands_it_is_said(tmp_path: Path) -> None:
    assert ended("new", "library", str(tmp_path / "lamp")).returncode == 0
    done = run("--machine", "town-bicycle", "--grams", "300", "--library", str(tmp_path / "lamp"))
    assert "no complaint of this library strands" in done.stdout
