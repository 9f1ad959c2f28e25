"""The figure command shows the working, keeps errors to one line, and speaks JSON."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from kickover.cli.figure import figure
from kickover.formulas import registry


def run(*arguments: str) -> Result:
    return CliRunner().invoke(figure, arguments)


def test_a_formula_is_shown_with_working_result_validity_and_source() -> None:
    done = run("cranking-pressure", "ratio=8", "exponent=1.3")
    assert done.exit_code == 0
    for part in ("8.00^1.30", "14.1 bar (205 psi)", "holds for:", "source:"):
        assert part in done.stdout
    assert done.stderr == ""


def test_json_carries_the_value_with_its_unit() -> None:
    done = run("premix", "ratio=40:1", "fuel=1 US gal", "--json")
    found = json.loads(done.stdout)
    assert found["value"]["unit"] == "ml"
    assert found["value"]["value"] == pytest.approx(94.635, abs=0.001)
    assert found["working"]
    assert found["source"]


def test_without_a_name_every_formula_is_listed_with_its_parameters() -> None:
    text = run().stdout
    listed = json.loads(run("--json").stdout)
    assert [entry["id"] for entry in listed] == list(registry())
    for formula in registry().values():
        assert f"{formula.name}: {formula.title}" in text
        for parameter in formula.parameters:
            assert f"  {parameter.name}  " in text


def test_a_name_alone_shows_what_the_formula_needs() -> None:
    done = run("premix")
    assert done.exit_code == 0
    assert "10:1 to 100:1" in done.stdout


def test_a_formula_that_needs_nothing_is_worked_out_at_once() -> None:
    assert "1013.25 hPa" in run("air-pressure").stdout


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (("premix", "ratio=5", "fuel=1"), 1),
        (("advance-to-travel", "stroke=100", "rod=40", "angle=20"), 1),
        (("premix", "ratio=40"), 2),
        (("premix", "ratio=40", "fuel"), 2),
        (("premix", "ratio=40", "fuel="), 2),
        (("premix", "ratio=40", "ratio=50", "fuel=1"), 2),
        (("premix", "ratio=40", "fuel=1 V"), 2),
        (("premix", "ratio=1,200", "fuel=1"), 2),
        (("premics", "ratio=40"), 2),
        (("tap-drill", "thread=M9"), 2),
    ],
)
def test_errors_are_one_line_on_standard_error(arguments: tuple[str, ...], code: int) -> None:
    done = run(*arguments)
    assert done.exit_code == code
    assert done.stdout == ""
    assert len(done.stderr.splitlines()) == 1
    assert "Traceback" not in done.stderr


def test_values_below_zero_need_no_quoting_tricks() -> None:
    assert "air density" in run("air-density", "temperature=-10 °C").stdout.lower()


def test_a_machine_gives_what_is_not_given() -> None:
    done = run("rpm-for-speed", "--machine", "clip-on-two-stroke", "speed=20")
    assert done.exit_code == 0, done.output
    assert (
        run("rpm-for-speed", "--machine", "clip-on-two-stroke", "speed=20", "reduction=9").stdout
        != done.stdout
    )


def test_a_formula_is_worked_out_over_a_span_and_drawn(tmp_path: Path) -> None:
    file = tmp_path / "stopping.svg"
    done = run("stopping-distance", "--over", "speed=0..50", "-o", str(file), "--json")
    rows = json.loads(done.stdout)
    assert [row["speed"] for row in rows] == [5.0 * step for step in range(1, 11)]
    assert b"<title>Distance to stop from a speed</title>" in file.read_bytes()
    assert run("stopping-distance", "--over", "speed=0..50", "-o", str(tmp_path / "x.pdf")).exit_code == 0


@pytest.mark.parametrize("over", ["speed", "speed=1", "speed=a..b", "nothing=1..2", "speed=500..600"])
def test_a_span_that_cannot_be_is_said_in_words(over: str) -> None:
    done = run("stopping-distance", "--over", over)
    assert done.exit_code in {1, 2}
    assert done.stderr.strip()
    assert "Traceback" not in done.stderr


def test_a_mixture_may_be_told_in_percent() -> None:
    assert "25 ml" in run("premix", "ratio=4 %", "fuel=0.625 L").stdout
