"""`kickover settings`: what is taken where an option is not given."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from kickover.cli.main import run
from kickover.cli.person_settings import PAPERS, PersonSettings, as_defaults, read_settings
from kickover.documents import paper

OVERLAY = "causes:\n  kill-switch-shorted: {rate: 400, source: estimate}\n"


def test_settings_are_shown_kept_and_put_back(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["settings", "machine=clip-on-two-stroke", "paper=letter"]) == 0
    assert "clip-on-two-stroke" in capsys.readouterr().out
    assert read_settings(home / "settings.toml").paper == "letter"
    assert run(["settings", "paper=", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["paper"] == "a4"


def test_commands_take_the_machine_of_the_settings(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["rank", "no-spark-seen"]) == 2
    assert run(["settings", "machine=clip-on-two-stroke"]) == 0
    capsys.readouterr()
    assert run(["rank", "no-spark-seen", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["machine"] == "clip-on-two-stroke"
    assert run(["rank", "no-spark-seen", "--machine", "points-moped", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["machine"] == "points-moped"


def test_an_overlay_and_the_order_of_units_hold_everywhere(
    home: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    learned = tmp_path / "learned.yaml"
    learned.write_text(OVERLAY, encoding="utf-8")
    assert run(["settings", f"overlay={learned}", "units=customary"]) == 0
    capsys.readouterr()
    assert run(["show", "kill-switch-shorted"]) == 0
    assert "400 × occasional" in capsys.readouterr().out
    assert run(["figure", "cranking-pressure", "ratio=7"]) == 0
    assert " psi (" in capsys.readouterr().out
    assert run(["settings", "units="]) == 0
    capsys.readouterr()
    assert run(["figure", "cranking-pressure", "ratio=7"]) == 0
    assert " bar (" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("machin=x", "did you mean 'machine'"),
        ("machine", "NAME=VALUE"),
        ("machine=dragon", "no machine called"),
        ("paper=b0", "a4 or letter"),
        ("units=miles", "metric or customary"),
    ],
)
def test_what_cannot_be_set_is_said_and_nothing_is_kept(
    home: Path, capsys: pytest.CaptureFixture[str], value: str, said: str
) -> None:
    assert run(["settings", value]) == 1
    assert said in capsys.readouterr().err
    assert not (home / "settings.toml").exists()


def test_a_spoilt_file_is_named_with_its_mend(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    home.mkdir()
    (home / "settings.toml").write_text("machine = clip\n", encoding="utf-8")
    assert run(["list", "kits"]) == 1
    assert "settings.toml" in capsys.readouterr().err
    text = PersonSettings(kit='a "b" \\ c').as_text()
    (home / "settings.toml").write_text(text, encoding="utf-8")
    assert read_settings(home / "settings.toml").kit == 'a "b" \\ c'


def test_every_paper_of_the_settings_can_be_printed() -> None:
    assert set(PAPERS) <= set(paper.PAPERS)
    assert as_defaults(PersonSettings())["service"] == {"paper": "a4"}
