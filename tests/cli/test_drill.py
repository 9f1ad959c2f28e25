"""`kickover drill` as a person types it: plain, on a terminal, with its class list and its errors."""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path
from subprocess import CompletedProcess

import pexpect
import pyte
import pytest

from cli.typed import ended
from kickover.core.ids import LessonId
from kickover.training.exercise import from_lesson, set_up
from kickover.training.hidden_engine import draw_engine
from worlds.shipped_library import shipped

COMMAND = [sys.executable, "-m", "kickover.cli.main"]
LESSON = ["drill", "--lesson", "no-spark-split-it", "--seed", "7"]


@pytest.fixture(autouse=True)
def _at_home(home: Path, read_before: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    home.mkdir()
    (home / "cache").symlink_to(read_before)
    monkeypatch.setenv("COLUMNS", "100")
    monkeypatch.setenv("TERM", "xterm")


def run(*arguments: str, typed: tuple[str, ...] = ()) -> CompletedProcess[str]:
    return ended(*arguments, typed="".join(f"{line}\n" for line in typed))


def seed_of(fault: str) -> str:
    """A seed with which the lesson hides `fault`."""
    library = shipped()
    exercise = from_lesson(library, library.lessons[LessonId(LESSON[2])])
    model = set_up(library, exercise, 0).session.model
    return next(
        str(seed)
        for seed in range(100)
        if draw_engine(model, exercise.level, seed, exercise.faults).causes == (fault,)
    )


def test_a_drill_from_the_complaint_to_the_grade() -> None:
    seed = seed_of("source-coil-open")
    typed = ("spark-with-kill-lead-off", "source-coil-resistance", "name", "source-coil-open", "1", "", "")
    done = run(*LESSON[:-1], seed, "--plain", "--learner", "Mira", typed=typed)
    assert done.returncode == 0, done.stderr
    said = " ".join(done.stdout.split())
    assert "Resistance of the magneto's ignition coil: " in said
    assert "Given away by your choices" in said
    assert "Dangerous choices: none." in said
    assert f"The same engine again: kickover drill --lesson no-spark-split-it --seed {seed}" in said
    assert "Kept for Mira. This exercise comes back on" in said


def test_the_same_seed_shows_the_same_session_word_for_word() -> None:
    typed = ("owner", "1", "plug-look", "cranking-compression", "find hose")
    arguments = ("drill", "will-not-start", "--machine", "points-moped", "--seed", "12", "--plain")
    first, second = run(*arguments, typed=typed), run(*arguments, typed=typed)
    assert "bar (" in first.stdout
    assert first.stdout == second.stdout
    other = run(*arguments[:-2], "13", "--plain", typed=typed)
    assert other.stdout != first.stdout


def test_the_class_list_and_the_export(tmp_path: Path) -> None:
    for learner in ("Mira", "Jon"):
        run(*LESSON, "--plain", "--learner", learner, typed=("stop", "", ""))
    said = run("drill", "--class").stdout
    assert "Mira" in said
    assert "2 learners" in said
    rows = json.loads(run("drill", "--class", "--json").stdout)
    assert [(row["learner"], row["drills"], row["cured"]) for row in rows] == [("Jon", 1, 0), ("Mira", 1, 0)]
    one = json.loads(run("drill", "--class", "--learner", "Mira", "--json").stdout)
    assert one[0]["exercise"] == "no-spark-split-it"
    file = tmp_path / "results.csv"
    assert "2 results" in run("drill", "--export", str(file)).stdout
    assert file.read_text(encoding="utf-8").startswith("on,learner,exercise,complaint,machine,level,seed,")


def test_the_lessons_are_listed_by_level() -> None:
    rows = json.loads(run("drill", "--lessons", "--json").stdout)
    levels = [row["level"] for row in rows]
    assert len(rows) >= 12
    assert levels == sorted(levels)
    assert "one fault, honest answers" in run("drill", "--lessons").stdout


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
def test_wrong_usage_is_answered_in_words(arguments: tuple[str, ...], code: int, words: str) -> None:
    done = run(*arguments)
    assert done.returncode == code
    assert words in done.stderr
    assert "Traceback" not in done.stderr


def test_a_drill_that_is_left_goes_on_from_there_and_is_no_result_yet() -> None:
    done = run(*LESSON, "--plain", "--learner", "Mira", typed=("plug",))
    assert done.returncode == 0
    assert "kept for Mira" in done.stdout
    assert "0 learners" in run("drill", "--class").stdout
    again = run("drill", "--learner", "Mira", "--plain", typed=("stop", "", ""))
    assert "Going on where Mira left it." in again.stdout
    assert "1 learners" in run("drill", "--class").stdout
    assert "nothing is kept" in run(*LESSON, "--plain", typed=("plug",)).stdout


class Terminal:
    """A recorded terminal session: what is typed, and what then stands on an 100 by 40 screen."""

    def __init__(self, arguments: list[str]) -> None:
        self.screen = pyte.Screen(100, 40)
        self._stream = pyte.Stream(self.screen)
        self._child = pexpect.spawn(
            COMMAND[0],
            [*COMMAND[1:], *arguments],
            env=dict(os.environ),
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


def test_a_drill_on_a_full_terminal() -> None:
    """Recorded: a wet plug, a spark asked for too early, the vapour aired, and the end."""
    terminal = Terminal(["drill", "--lesson", "wet-or-dry", "--seed", "1"])
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
