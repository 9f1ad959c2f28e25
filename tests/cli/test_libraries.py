"""Which library a command works with."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from kickover.cli.main import run

LEARNED = """\
causes:
  source-coil-open:
    title: Coil, as learned
    about: Learned from our own cases.
    rate: 60
    only_if: {all: [magneto-rotor, magneto-cdi]}
    prevention: None.
"""


@pytest.fixture(autouse=True)
def _own_home(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("KICKOVER_HOME", str(tmp_path / "home"))


def ranked(capsys: pytest.CaptureFixture[str], *more: str) -> dict[str, float]:
    asked = ["rank", "no-spark-seen", "--machine", "clip-on-two-stroke", "--top", "99", "--json"]
    assert run([*asked, *more]) == 0
    return {one["id"]: one["probability"] for one in json.loads(capsys.readouterr().out)["causes"]}


def test_an_overlay_changes_what_it_names_and_nothing_else(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    learned = tmp_path / "learned.yaml"
    learned.write_text(LEARNED, encoding="utf-8")
    before, after = ranked(capsys), ranked(capsys, "--overlay", str(learned))
    assert after["source-coil-open"] > 2 * before["source-coil-open"]
    assert set(after) == set(before)


def test_a_missing_overlay_is_wrong_usage(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["list", "kits", "--overlay", "nowhere.yaml"]) == 2
    assert "nowhere.yaml" in capsys.readouterr().err
