"""The error boundary: which code each way of ending has, and that no traceback reaches a screen."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from importlib import import_module
from pathlib import Path

import click
import pytest

from kickover.cli import main as program
from kickover.cli.main import COMMANDS, entry, run
from kickover.core.problem import KickoverError, LibraryError, Problem, SourcePlace


@pytest.fixture
def ending(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> pytest.MonkeyPatch:
    monkeypatch.delenv("KICKOVER_HOME", raising=False)
    monkeypatch.setattr("platformdirs.user_state_dir", lambda *_args, **_kwargs: str(tmp_path / "state"))
    return monkeypatch


def ends_with(ending: pytest.MonkeyPatch, error: BaseException, *arguments: str) -> int:
    def fail(**_kwargs: object) -> None:
        raise error

    ending.setattr(program.main, "main", fail)
    return run(list(arguments))


def test_what_a_person_can_mend_is_said_in_one_line(
    ending: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert ends_with(ending, KickoverError("there is no machine `mopde`; did you mean `moped`?")) == 1
    assert capsys.readouterr() == ("", "there is no machine `mopde`; did you mean `moped`?\n")


def test_under_json_every_error_is_json_with_its_exit_code(
    ending: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    place = SourcePlace("a.yaml", 3)
    errors = {
        KickoverError("there is no machine `mopde`"): ("data", 1, "", ""),
        LibraryError([Problem(place, "", "no rate", "add one")]): ("library", 1, "a.yaml:3", "add one"),
        OSError(28, "No space left on device", "/full/x"): (
            "file",
            1,
            "/full/x",
            "choose another place or make room",
        ),
        click.UsageError("No such option"): ("usage", 2, "", ""),
        KeyboardInterrupt(): ("interrupted", 130, "", ""),
        ZeroDivisionError("in the deep"): ("own-fault", 3, "", ""),
    }
    for error, (kind, code, where, mend) in errors.items():
        assert ends_with(ending, error, "rank", "--json") == code
        out, err = capsys.readouterr()
        said = json.loads(err)["error"]
        assert out == ""
        assert (said["kind"], said["exit"], said["where"], said["mend"]) == (kind, code, where, mend)
        assert said["message"]


def test_a_word_after_two_dashes_is_no_wish_for_json(
    ending: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert ends_with(ending, KickoverError("no"), "walk", "--", "--json") == 1
    assert capsys.readouterr().err == "no\n"


def test_a_wrong_option_under_json_names_the_command_and_its_help(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["rank", "--machien", "--json"]) == 2
    said = json.loads(capsys.readouterr().err)["error"]
    assert said["where"] == "kickover rank"
    assert said["mend"] == "`kickover rank --help` shows what it takes"


def test_an_interruption_ends_with_130(
    ending: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert ends_with(ending, KeyboardInterrupt()) == 130
    assert "Traceback" not in capsys.readouterr().err


def test_a_fault_of_our_own_is_logged_and_not_shown(
    ending: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    assert ends_with(ending, ZeroDivisionError("in the deep")) == 3
    shown = capsys.readouterr().err
    assert "Traceback" not in shown
    assert "in the deep" not in shown
    (log,) = (tmp_path / "state").rglob("*.log")
    assert str(log) in shown
    assert "ZeroDivisionError: in the deep" in log.read_text()


def test_a_log_that_cannot_be_written_is_said(
    ending: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    (tmp_path / "state").write_text("a file where the folder should be")
    assert ends_with(ending, ZeroDivisionError()) == 3
    assert "could not write" in capsys.readouterr().err


@pytest.mark.parametrize(("code", "expected"), [(0, 0), (None, 0), (1, 1), (2, 2), ("words", 1)])
def test_an_exit_keeps_its_code(ending: pytest.MonkeyPatch, code: int | str | None, expected: int) -> None:
    assert ends_with(ending, SystemExit(code)) == expected


def test_a_closed_pipe_is_no_fault(ending: pytest.MonkeyPatch) -> None:
    ending.setattr(sys, "stderr", type("Closable", (), {"close": lambda _self: None})())
    assert ends_with(ending, BrokenPipeError()) == 1


@pytest.mark.parametrize("arguments", [["chek"], ["check", "--nonsense"], ["check", "a", "b"]])
def test_wrong_usage_ends_with_2(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert run(arguments) == 2
    assert "Error: " in capsys.readouterr().err


def test_help_lists_every_command(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["--help"]) == 0
    shown = capsys.readouterr().out
    assert all(name in shown for name in COMMANDS)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_of_the_table_is_there_under_its_name(name: str) -> None:
    module, _, function = COMMANDS[name].partition(":")
    command = getattr(import_module(module), function)
    assert isinstance(command, click.Command)
    assert command.name == name


def test_the_program_leaves_with_its_code(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "argv", ["kickover", "chek"])
    with pytest.raises(SystemExit) as left:
        entry()
    assert left.value.code == 2


def test_one_command_does_not_import_what_another_needs() -> None:
    asked = "import sys; from kickover.cli.main import run; run(['check', '--help']); print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    loaded = done.stdout.split()
    assert "kickover.cli.check" in loaded
    assert not {"reportlab", "prompt_toolkit", "kickover.cli.draw", "kickover.documents"} & set(loaded)


def run_program(arguments: str, **environment: str) -> subprocess.CompletedProcess[str]:
    """The program as a shell runs it, redirections and all."""
    command = f"exec {sys.executable} -m kickover {arguments}"
    return subprocess.run(
        ["bash", "-c", command],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, **environment},
    )


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        ("list machines > /dev/full", 1),
        ("figure > /dev/full", 1),
        ("walk --plain <&-", 0),
        ("list causes >&-", 0),
        (f"check {'x' * 5000}", 1),
        (f"report w -o {'x' * 300}.md", 1),
    ],
)
def test_ordinary_trouble_is_an_ordinary_message(
    arguments: str, code: int, home: Path, read_before: Path
) -> None:
    home.mkdir()
    (home / "cache").symlink_to(read_before)
    done = run_program(arguments)
    assert done.returncode == code, done.stderr
    assert "Traceback" not in done.stderr
    assert "fault of its own" not in done.stderr


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp437", "koi8-r", "shift_jis"])
def test_an_encoding_that_lacks_a_character_gets_a_replacement(encoding: str, home: Path) -> None:
    done = run_program("figure premix ratio=32 fuel='5 L'", PYTHONIOENCODING=encoding)
    assert done.returncode == 0, done.stderr
    assert "156" in done.stdout


def test_a_log_of_faults_is_bounded(ending: pytest.MonkeyPatch, tmp_path: Path) -> None:
    for _ in range(3):
        assert ends_with(ending, ZeroDivisionError("x" * 90_000)) == 3
    (log,) = (tmp_path / "state").rglob("*.log")
    assert log.stat().st_size < 250_000


def numeric_options() -> list[tuple[str, str]]:
    """Every option of every command that takes a number, by the command's words: new commands are covered."""
    found: list[tuple[str, str]] = []

    def look(command: click.Command, words: str) -> None:
        if isinstance(command, click.Group):
            context = click.Context(command)
            for name in command.list_commands(context):
                inner = command.get_command(context, name)
                assert inner is not None
                look(inner, f"{words} {name}".strip())
            return
        numbers = click.types.FloatRange | click.types.IntRange
        found.extend((words, one.opts[0]) for one in command.params if isinstance(one.type, numbers))

    look(program.main, "")
    return found


@pytest.mark.parametrize("value", ["nan", "inf", "-inf", "1e308", ""])
def test_no_numeric_option_takes_what_is_no_number(
    value: str, home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert len(numeric_options()) > 15
    for words, option in numeric_options():
        assert run([*words.split(), option, value]) == 2, (words, option, value)
        assert "Traceback" not in capsys.readouterr().err
