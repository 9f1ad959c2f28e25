"""`kickover walk --json-lines`: a small client of another program holds a walk, a line a turn."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from cli.test_walk import to_a_cure


class Client:
    """The other program: it reads one question and writes one answer."""

    def __init__(self, process: subprocess.Popen[str]) -> None:
        assert process.stdin is not None
        assert process.stdout is not None
        self._asks, self._hears = process.stdout, process.stdin
        self.heard: list[dict[str, Any]] = []

    def next(self, what: str) -> dict[str, Any]:
        """The next line of that kind."""
        for line in self._asks:
            self.heard.append(json.loads(line))
            if self.heard[-1]["what"] == what:
                return self.heard[-1]
        raise AssertionError(f"the talk ended without {what}: {self.heard[-1:]}")

    def answer(self, text: str) -> None:
        """Answer the question."""
        self.write(json.dumps({"answer": text}))

    def write(self, line: str) -> None:
        """Write a line as it is."""
        self._hears.write(f"{line}\n")
        self._hears.flush()


@contextmanager
def client(folder: Path, home: Path, *words: str) -> Iterator[Client]:
    """A client of a walk in a process of its own."""
    command = [sys.executable, "-m", "kickover", "walk", *words, "--library", str(folder), "--json-lines"]
    environment = {**os.environ, "KICKOVER_HOME": str(home)}
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, encoding="utf-8", env=environment
    ) as process:
        yield Client(process)
        assert process.stdin is not None
        process.stdin.close()


def test_a_program_leads_a_walk_to_a_cure(yard_folder: Path, home: Path) -> None:
    with client(yard_folder, home, "no-power", "--machine", "moped") as one:
        lines = to_a_cure(yard_folder).splitlines()
        for line in lines:
            asked = one.next("question")
            assert asked["step"]["phase"]
            one.answer(line)
        end = one.next("end")
    assert end["outcome"] == "mended"
    assert sum(likely["share"] for likely in one.heard[1]["likely"]) > 0.5
    assert (home / "walks" / f"{end['walk']}.walk").is_file()
    assert [heard["what"] for heard in one.heard].count("question") == len(lines)


def test_choices_can_be_answered_by_their_keys_and_what_is_no_answer_is_said(
    yard_folder: Path, home: Path
) -> None:
    with client(yard_folder, home, "no-power", "--machine", "moped") as one:
        first = one.next("question")
        for wrong in ("not json", '["1"]', '{"answer": 1}'):
            one.write(wrong)
            again = one.next("question")
            assert "This is no answer" in again["message"]
            assert again["step"] == first["step"]
        one.answer(first["choices"][0]["key"])
        assert one.next("question")["step"] != first["step"]
        one.answer("quit")
        assert one.next("end")["outcome"] == ""


def test_setting_out_is_asked_in_the_same_way(yard_folder: Path, home: Path) -> None:
    with client(yard_folder, home) as one:
        assert one.next("question")["step"] is None
        one.answer("quit")
        assert one.next("end") == {"what": "end", "outcome": "", "walk": ""}
