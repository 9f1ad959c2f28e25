"""`kickover help`: how a command is used, and a manual that `man` can show."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import click
import pytest

from cli.command_tree import commands
from kickover.cli.failure import EXIT_CODES
from kickover.cli.main import run

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")


def said(capsys: pytest.CaptureFixture[str], *words: str, code: int = 0) -> str:
    assert run(["help", *words]) == code
    told = capsys.readouterr()
    return told.out + told.err


def test_a_command_is_named_by_its_words(capsys: pytest.CaptureFixture[str]) -> None:
    assert said(capsys).startswith("Usage: kickover [OPTIONS] COMMAND")
    assert said(capsys, "cases", "learn").startswith("Usage: kickover cases learn")
    assert "did you mean 'learn'?" in said(capsys, "cases", "lern", code=2)
    assert "kickover rank has no commands" in said(capsys, "rank", "x", code=2)


def test_the_manual_holds_every_command_with_every_option(capsys: pytest.CaptureFixture[str]) -> None:
    manual = said(capsys, "--man").replace("\\-", "-")
    for name, command in commands():
        (part,) = re.findall(rf'^\.SS "kickover {name} .*?(?=^\.S[SH])', manual, re.MULTILINE | re.DOTALL)
        for option in command.params:
            if isinstance(option, click.Option):
                assert option.opts[-1] in part, name
    assert all(f".B {code}\n" in manual for code in EXIT_CODES)


@pytest.mark.skipif(shutil.which("groff") is None, reason="groff is not installed")
def test_the_manual_is_set_without_a_doubtful_request(capsys: pytest.CaptureFixture[str]) -> None:
    ended = subprocess.run(
        ["groff", "-man", "-Tutf8", "-P-cbou", "-wmac", "-wescape", "-wsyntax", "-wmissing"],
        input=said(capsys, "--man"),
        capture_output=True,
        encoding="utf-8",
        check=True,
    )
    assert ended.stderr == ""
    assert "EXIT STATUS" in ended.stdout


def test_the_readme_and_the_help_tell_the_same_exit_codes(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["--help"]) == 0
    shown = " ".join(capsys.readouterr().out.split())
    for code, meaning in EXIT_CODES.items():
        assert f"{code} {meaning}" in shown
        assert f"| {code} | {meaning} |" in README
