"""Shell completion: what Tab offers, and that the lines of the README set it up."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pexpect
import pytest
from click.shell_completion import ShellComplete

from cli.typed import run_typed
from kickover.cli.main import main

ROOT = Path(__file__).parents[2]


def offered(*words: str) -> set[str]:
    """What is offered for the last of the words."""
    *before, last = words
    completing = ShellComplete(main, {}, "kickover", "_KICKOVER_COMPLETE")
    return {one.value for one in completing.get_completions(before, last)}


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        (("ra",), {"rank"}),
        (("rank", "no-spark-s"), {"no-spark-seen"}),
        (
            ("rank", "no-spark-seen,will-not-st"),
            {"no-spark-seen,will-not-start", "no-spark-seen,will-not-stop"},
        ),
        (("rank", "no-spark-seen", "--machine", "clip"), {"clip-on-two-stroke"}),
        (("rank", "no-spark-seen", "--saw", "kill-switch-in"), {"kill-switch-in-run="}),
        (("rank", "x", "--saw", "kill-switch-in-run=y"), {"kill-switch-in-run=yes"}),
        (("show", "kill-switch-sh"), {"kill-switch-shorted"}),
        (("figure", "cranking"), {"cranking-pressure"}),
        (("walk", "--kit", "pou"), {"pouch"}),
        (("drill", "--lesson", "wet-or"), {"wet-or-dry"}),
        (("service", "--machine", "points-moped", "--done", "point"), {"points"}),
    ],
)
def test_tab_offers_names(home: Path, words: tuple[str, ...], wanted: set[str]) -> None:
    found = offered(*words)
    assert wanted <= found
    assert all(one.startswith(words[-1]) for one in found)


def test_a_library_that_cannot_be_read_offers_nothing(home: Path, tmp_path: Path) -> None:
    (tmp_path / "broken.yaml").write_text("causes: {tap: {title: 3}}\n", encoding="utf-8")
    assert offered("rank", "x", "--library", str(tmp_path), "--machine", "c") == set()


def test_saved_walks_and_own_machines_are_offered(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    own = home / "machines" / "shed-moped.yaml"
    own.parent.mkdir(parents=True)
    own.write_text("machine: {id: shed-moped, title: Shed, traits: [two-stroke]}\n", encoding="utf-8")
    assert offered("rank", "x", "--machine", "shed") == {"shed-moped"}
    walk = ("walk", "no-spark-seen", "--machine", "shed-moped", "--plain")
    assert run_typed(monkeypatch, "note x\nquit\n", *walk) == 0
    (name,) = offered("report", "20")
    assert offered("walk", "--resume", name[:8]) == {name}


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_the_line_of_the_readme_gives_a_script(shell: str, home: Path) -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    (instruction,) = re.findall(rf"_KICKOVER_COMPLETE=({shell}_\w+)", readme)
    environment = {**os.environ, "_KICKOVER_COMPLETE": instruction}
    command = [sys.executable, "-m", "kickover"]
    ended = subprocess.run(command, env=environment, capture_output=True, text=True, check=False)
    assert ended.returncode == 0
    assert f"{shell}_complete" in ended.stdout


@pytest.mark.parametrize(
    ("typed", "completed"),
    [
        ("rank no-spark-s", "rank no-spark-seen "),
        ("rank no-spark-seen --machine=clip-on", "rank no-spark-seen --machine=clip-on-two-stroke "),
        ("rank no-spark-seen --machine clip-on", "rank no-spark-seen --machine clip-on-two-stroke "),
        ("rank x --saw kill-switch-in-run", "rank x --saw kill-switch-in-run="),
        ("rank x --saw kill-switch-in-run=y", "rank x --saw kill-switch-in-run=yes "),
        ("rank x --saw=kill-switch-in-run=y", "rank x --saw=kill-switch-in-run=yes "),
    ],
)
def test_bash_completes_what_stands_before_and_after_an_equals_sign(
    home: Path, tmp_path: Path, typed: str, completed: str
) -> None:
    """A real bash, with the line of the README; what it would run is printed in place of running it."""
    program = tmp_path / "kickover"
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m kickover "$@"\n', encoding="utf-8")
    program.chmod(0o755)
    environment = {**os.environ, "PATH": f"{tmp_path}:{os.environ['PATH']}", "PS1": "", "TERM": "dumb"}
    bash = pexpect.spawn(
        "bash",
        ["--norc", "--noprofile"],
        env=environment,
        encoding="utf-8",
        timeout=300,
        dimensions=(24, 200),
    )
    bash.sendline('eval "$(_KICKOVER_COMPLETE=bash_source kickover)"; echo re""ady')
    bash.expect_exact("ready\r\n")
    bash.send(f"kickover {typed}\t")
    bash.expect_exact(f"kickover {completed}")
    bash.close(force=True)
