"""`kickover drill` as a person types it: plain, on a terminal, with its class list and its errors."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pexpect
import pyte
import pytest

import kickover
from kickover.core.ids import LessonId
from kickover.training.exercise import from_lesson, set_up
from kickover.training.hidden_engine import draw_engine

COMMAND = [sys.executable, "-m", "kickover.cli.main"]
LESSON = ["drill", "--lesson", "no-spark-split-it", "--seed", "7"]


@pytest.fixture
def home(tmp_path: Path) -> dict[str, str]:
    return {**os.environ, "KICKOVER_HOME": str(tmp_path), "COLUMNS": "100", "TERM": "xterm"}


def run(
    home: dict[str, str], *arguments: str, typed: tuple[str, ...] = ()
) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [*COMMAND, *arguments],
        input="".join(f"{line}\n" for line in typed),
        env=home,
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )


def seed_of(fault: str) -> str:
    """A seed with which the lesson hides `fault`."""
    library = kickover.load().library
    exercise = from_lesson(library, library.lessons[LessonId(LESSON[2])])
    model = set_up(library, exercise, 0).session.model
    return next(
        str(seed)
        for seed in range(100)
        if draw_engine(model, exercise.level, seed, exercise.faults).causes == (fault,)
    )


def test_a_drill_from_the_complaint_to_the_grade(home: dict[str, str]) -> None:
    seed = seed_of("source-coil-open")
    typed = ("spark-with-kill-lead-off", "source-coil-resistance", "name", "source-coil-open", "1", "", "")
    ended = run(home, *LESSON[:-1], seed, "--plain", "--learner", "Mira", typed=typed)
    assert ended.returncode == 0, ended.stderr
    said = " ".join(ended.stdout.split())
    assert "Resistance of the magneto's ignition coil: " in said
    assert "Given away by your choices" in said
    assert "Dangerous choices: none." in said
    assert f"The same engine again: kickover drill --lesson no-spark-split-it --seed {seed}" in said
    assert "Kept for Mira. This exercise comes back on" in said


def test_the_same_seed_shows_the_same_session_word_for_word(home: dict[str, str]) -> None:
    typed = ("owner", "1", "plug-look", "cranking-compression", "find hose")
    arguments = ("drill", "will-not-start", "--machine", "points-moped", "--seed", "12", "--plain")
    first, second = run(home, *arguments, typed=typed), run(home, *arguments, typed=typed)
    assert "bar (" in first.stdout
    assert first.stdout == second.stdout
    other = run(home, *arguments[:-2], "13", "--plain", typed=typed)
    assert other.stdout != first.stdout


def test_the_class_list_and_the_export(home: dict[str, str], tmp_path: Path) -> None:
    for learner in ("Mira", "Jon"):
        run(home, *LESSON, "--plain", "--learner", learner, typed=("stop", "", ""))
    said = run(home, "drill", "--class").stdout
    assert "Mira" in said
    assert "2 learners" in said
    rows = json.loads(run(home, "drill", "--class", "--json").stdout)
    assert [(row["learner"], row["drills"], row["cured"]) for row in rows] == [("Jon", 1, 0), ("Mira", 1, 0)]
    one = json.loads(run(home, "drill", "--class", "--learner", "Mira", "--json").stdout)
    assert one[0]["exercise"] == "no-spark-split-it"
    file = tmp_path / "results.csv"
    assert "2 results" in run(home, "drill", "--export", str(file)).stdout
    assert file.read_text(encoding="utf-8").startswith("on,learner,exercise,complaint,machine,level,seed,")


def test_the_lessons_are_listed_by_level(home: dict[str, str]) -> None:
    rows = json.loads(run(home, "drill", "--lessons", "--json").stdout)
    levels = [row["level"] for row in rows]
    assert len(rows) >= 12
    assert levels == sorted(levels)
    assert "one fault, honest answers" in run(home, "drill", "--lessons").stdout


@pytest.mark.parametrize(
    ("arguments", "code", "words"),
    [
        (("drill",), 2, "give a COMPLAINT and --machine"),
        (("drill", "no-spark-seen"), 2, "--machine NAME"),
        (("drill", "no-sprk-seen", "--machine", "points-moped"), 1, "did you mean 'no-spark-seen'?"),
        (("drill", "--lesson", "no-spark-split"), 1, "did you mean 'no-spark-split-it'?"),
        (("drill", "--lesson", "wet-or-dry", "--machine", "points-moped"), 2, "--lesson says all by itself"),
        (("drill", "no-spark-seen", "--machine", "points-moped", "--level", "9"), 2, "1<=x<=5"),
        (("drill", "--export", "/nowhere/at-all/x.csv"), 1, "its folder does not exist"),
        (("drill", "--class", "--learner", "x" * 99), 1, "is no learner's name"),
    ],
)
def test_wrong_usage_is_answered_in_words(
    home: dict[str, str], arguments: tuple[str, ...], code: int, words: str
) -> None:
    ended = run(home, *arguments)
    assert ended.returncode == code
    assert words in ended.stderr
    assert "Traceback" not in ended.stderr


def test_a_drill_that_is_left_goes_on_from_there_and_is_no_result_yet(home: dict[str, str]) -> None:
    ended = run(home, *LESSON, "--plain", "--learner", "Mira", typed=("plug",))
    assert ended.returncode == 0
    assert "kept for Mira" in ended.stdout
    assert "0 learners" in run(home, "drill", "--class").stdout
    again = run(home, "drill", "--learner", "Mira", "--plain", typed=("stop", "", ""))
    assert "Going on where Mira left it." in again.stdout
    assert "1 learners" in run(home, "drill", "--class").stdout
    assert "nothing is kept" in run(home, *LESSON, "--plain", typed=("plug",)).stdout


class Terminal:
    """A recorded terminal session: what is typed, and what then stands on an 100 by 40 screen."""

    def __init__(self, home: dict[str, str], arguments: list[str]) -> None:
        self.screen = pyte.Screen(100, 40)
        self._stream = pyte.Stream(self.screen)
        self._child = pexpect.spawn(
            COMMAND[0],
            [*COMMAND[1:], *arguments],
            env=home,
            dimensions=(40, 100),
            encoding="utf-8",
            timeout=60,
        )

    def waits_for(self, words: str) -> str:
        """Read until `words` stand on the screen."""
        for _ in range(600):
            shown = "\n".join(self.screen.display)
            if words in " ".join(shown.split()):
                return shown
            try:
                self._stream.feed(self._child.read_nonblocking(65536, timeout=0.1))
            except pexpect.TIMEOUT:
                continue
            except pexpect.EOF:
                break
        shown = "\n".join(self.screen.display)
        assert words in " ".join(shown.split()), shown
        return shown

    def types(self, line: str) -> None:
        self._child.send(f"{line}\r")

    def ends(self) -> int:
        self._child.expect(pexpect.EOF)
        self._child.close()
        return int(self._child.exitstatus or 0)


def test_a_drill_on_a_full_terminal(home: dict[str, str]) -> None:
    """Recorded: a wet plug, a spark asked for too early, the vapour aired, and the end."""
    terminal = Terminal(home, ["drill", "--lesson", "wet-or-dry", "--seed", "1"])
    terminal.waits_for("Wet plug, dry plug (level 1, no time yet)")
    terminal.types("plug-look")
    terminal.waits_for("Fuel vapour about.")
    terminal.types("spark-at-own-plug")
    terminal.waits_for("Your hand is stopped before")
    terminal.types("safe")
    terminal.waits_for("Safety first: what will you do?")
    terminal.types("fuel-vapour")
    terminal.waits_for("Make it safe first: fuel vapour about: done.")
    terminal.types("stop")
    terminal.waits_for("Enter for the review")
    terminal.types("")
    terminal.waits_for("Not cured.")
    terminal.types("quit")
    terminal.types("")
    assert terminal.ends() == 1
