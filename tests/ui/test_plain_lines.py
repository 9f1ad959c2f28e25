"""Plain lines, for pipes and screen readers: no steering of a terminal, a clean end however input ends."""

from __future__ import annotations

import io
import os
import signal
import subprocess
import sys
from pathlib import Path

from kickover.core.ids import EventId, MachineId
from kickover.model.library import Library
from kickover.session.journal import journals, read
from kickover.session.session import begin
from kickover.ui.dialogue import Dialogue
from kickover.ui.input_handling import handle_input
from kickover.ui.plain_lines import PLAIN_WIDTH, PlainFront


def environment_with(home: Path, **more: str) -> dict[str, str]:
    return {**os.environ, "KICKOVER_HOME": str(home), "PYTHONPATH": os.pathsep.join(sys.path), **more}


def run(folder: Path, home: Path, typed: bytes, **environment: str) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [
            *(sys.executable, "-m", "kickover.cli.main", "walk", "will-not-start", "--machine", "moped"),
            *("--library", str(folder), "--plain"),
        ],
        input=typed,
        capture_output=True,
        timeout=120,
        check=False,
        env={
            **os.environ,
            "KICKOVER_HOME": str(home),
            "PYTHONPATH": os.pathsep.join(sys.path),
            **environment,
        },
    )


def test_a_conversation_goes_on_until_it_is_over_or_the_input_ends(yard: Library) -> None:
    start = Dialogue(begin(yard, yard.machines[MachineId("moped")], [EventId("will-not-start")]))
    for typed, finished in (("1\nquit\n", True), ("1\n", False), ("", False)):
        sink = io.StringIO()
        end, ended = PlainFront(io.StringIO(typed), sink).converse(start, handle_input)
        assert ended is finished
        assert len(end.session.entries) == (1 if typed else 0)
        assert all(len(line) <= PLAIN_WIDTH for line in sink.getvalue().splitlines()[:-1])


def test_the_end_of_input_leaves_cleanly_with_the_walk_saved(yard_folder: Path, tmp_path: Path) -> None:
    ended = run(yard_folder, tmp_path, b"2\n2\n")
    assert (ended.returncode, ended.stderr) == (0, b"")
    assert b"Saved. Go on with: kickover walk" in ended.stdout
    assert b"\x1b" not in ended.stdout
    assert len(read(journals(tmp_path / "walks")[0]).entries) == 2


def test_bytes_that_are_no_text_do_not_end_a_walk(yard_folder: Path, tmp_path: Path) -> None:
    junk = b"\xff\xfe\x80\n\x1b]0;owned\x07\n" + b"A" * 2_000_000 + b"\nnote \x1b[2Jhello\n2\n"
    ended = run(yard_folder, tmp_path, junk)
    assert (ended.returncode, ended.stderr) == (0, b"")
    assert b"\x1b" not in ended.stdout
    assert len(ended.stdout) < 20_000
    assert len(read(journals(tmp_path / "walks")[0]).entries) == 2


def test_a_terminal_without_unicode_gets_marks_instead_of_a_fault(yard_folder: Path, tmp_path: Path) -> None:
    ended = run(yard_folder, tmp_path, "note Ω\nanswers\n".encode(), PYTHONIOENCODING="ascii", LC_ALL="C")
    assert (ended.returncode, ended.stderr) == (0, b"")


def test_an_interrupt_leaves_cleanly_with_the_walk_saved(yard_folder: Path, tmp_path: Path) -> None:
    with subprocess.Popen(
        [
            *(sys.executable, "-m", "kickover.cli.main", "walk", "will-not-start", "--machine", "moped"),
            *("--library", str(yard_folder), "--plain"),
        ],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        env=environment_with(tmp_path),
    ) as walk:
        assert walk.stdin is not None
        assert walk.stdout is not None
        walk.stdin.write(b"2\n")
        walk.stdin.flush()
        shown = b""
        while b"Step 2" not in shown:
            shown += os.read(walk.stdout.fileno(), 4096)
        walk.send_signal(signal.SIGINT)
        rest, _ = walk.communicate(timeout=60)
    assert b"Saved. Go on with" in rest
    assert walk.returncode == 0
    assert len(read(journals(tmp_path / "walks")[0]).entries) == 1
