"""Every number that a command takes, tried with what is no number to work with."""

from __future__ import annotations

import io
import json
from pathlib import Path

import click
import pytest

from cli.command_tree import WORKING, commands, words_of
from kickover.cli.main import run

NUMBERS = ("nan", "inf", "-inf", "-1", "1e308", "")
NUMERIC = (click.types.FloatParamType, click.types.IntParamType)

OPTIONS = [
    (name, option.opts[-1])
    for name, command in commands()
    for option in command.params
    if isinstance(option, click.Option) and isinstance(option.type, NUMERIC)
]


def test_every_command_has_words_that_make_it_run() -> None:
    assert set(WORKING) == {name for name, _ in commands()}


def test_there_are_numbers_to_try() -> None:
    assert len(OPTIONS) >= 20


@pytest.mark.parametrize(("command", "option"), OPTIONS, ids=[" ".join(one) for one in OPTIONS])
def test_what_is_no_number_is_refused_in_a_sentence(
    command: str,
    option: str,
    yard_folder: Path,
    home: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    words = words_of(command, FOLDER=str(tmp_path), WALK="w", CASE="c", IMPORT=str(tmp_path / "i.csv"))
    for number in NUMBERS:
        code = run([*words, "--library", str(yard_folder), option, number])
        said = capsys.readouterr()
        assert code in (1, 2), f"{option} {number!r} leaves with {code}"
        assert said.err.strip()
        assert "Traceback" not in said.err
    assert not home.exists() or not list(home.rglob("*.log"))


WITH_JSON = [
    name for name, command in commands() if any("--json" in option.opts for option in command.params)
]


@pytest.mark.parametrize("command", WITH_JSON)
def test_json_holds_no_number_that_json_lacks(
    command: str,
    yard_folder: Path,
    home: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    refused: list[str] = []
    words = words_of(command, FOLDER=str(tmp_path), WALK="w", CASE="c", IMPORT=str(tmp_path / "i.csv"))
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    if any("--library" in option.opts for option in dict(commands())[command].params):
        words += ["--library", str(yard_folder)]
    run([*words, "--json"])
    said = capsys.readouterr()
    for text in (said.out, *(line for line in said.err.splitlines() if line.startswith("{"))):
        if text.strip():
            json.loads(text, parse_constant=refused.append)
    assert refused == []
