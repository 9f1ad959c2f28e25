"""What the program says, as digests: a change that should change no behaviour changes none of them.

Record anew after a change that is meant: `python -m golden.corpus` in tests/, with engine/ on the path.
`python -m golden.corpus DIR` writes the whole outputs into a folder, to compare two states of the program.
"""

from __future__ import annotations

import contextlib
import hashlib
import io
import json
import os
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from unittest import mock

from kickover.cli.main import run

FILE = Path(__file__).with_name("digests.txt")
FORMULAS = (
    ("cranking-pressure", "ratio=7", "altitude=1450 m"),
    ("cranking-pressure", "ratio=8.5"),
    ("premix", "ratio=32", "fuel=5 L"),
)


def output_of(arguments: list[str], typed: str = "") -> str:
    """Everything that one command line prints, and its exit code."""
    out, err = io.StringIO(), io.StringIO()
    with (
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(err),
        mock.patch("sys.stdin", io.StringIO(typed)),
    ):
        code = run(arguments)
    return f"exit {code}\n{out.getvalue()}{err.getvalue()}"


def listed(kind: str) -> list[dict[str, object]]:
    """What `kickover list KIND --json` prints."""
    return list(json.loads(output_of(["list", kind, "--json"]).partition("\n")[2]))


def answer_sets(complaint: str, machine: str) -> Iterator[list[str]]:
    """Three sets of answers: none, one, ten along the plan, where first and second finding take turns."""
    yield []
    said: list[str] = []
    for _ in range(10):
        text = output_of(["rank", complaint, "--machine", machine, "--json", *said]).partition("\n")[2]
        told = json.loads(text) if text.startswith("{") else {}
        step = told.get("next", {"kind": "none"})
        if step["kind"] != "check":
            break
        said += ["--saw", f"{step['id']}={len(said) // 2 % 2 + 1}"]
        if len(said) == 2:
            yield list(said)
    yield said


def command_lines() -> Iterator[tuple[list[str], str]]:
    """Every command line of the corpus, with what is typed to it."""
    machines = [str(machine["id"]) for machine in listed("machines")]
    complaints = [str(complaint["id"]) for complaint in listed("complaints")]
    for number, complaint in enumerate(complaints):
        for place, machine in enumerate(machines):
            along_the_plan = (number + place) % 4 == 0
            for said in answer_sets(complaint, machine) if along_the_plan else [[]]:
                yield ["rank", complaint, "--machine", machine, "--json", *said], ""
    for machine in machines:
        yield ["pack", "--machine", machine, "--grams", "1500", "--json"], ""
        yield ["service", "--machine", machine], ""
    for name, *values in FORMULAS:
        yield ["figure", name, *values], ""
    for kind in ("causes", "checks", "repairs", "machines", "kits", "situations", "figures", "sources"):
        yield ["list", kind, "--json"], ""
    yield (
        ["evaluate", "no-spark-seen", "--machine", "points-moped", "--walks", "6", "--jobs", "1", "--json"],
        "",
    )


def outputs() -> Iterator[tuple[str, str]]:
    """Each command line as one text, and what it prints."""
    for arguments, typed in command_lines():
        yield " ".join(arguments), output_of(arguments, typed)


def digests() -> str:
    """One line a command line: the digest of its output, and what was typed."""
    with tempfile.TemporaryDirectory() as home, mock.patch.dict(os.environ, {"KICKOVER_HOME": home}):
        return "".join(f"{digest(text)} {name}\n" for name, text in outputs())


def digest(text: str) -> str:
    """The first 16 hexadecimal digits of SHA-256."""
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def write_outputs(folder: Path) -> None:
    """The outputs themselves, one file a command line."""
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as home, mock.patch.dict(os.environ, {"KICKOVER_HOME": home}):
        for number, (name, text) in enumerate(outputs()):
            Path(folder, f"{number:04}.txt").write_text(f"{name}\n{text}", encoding="utf-8")


if __name__ == "__main__":
    if len(sys.argv) > 1:
        write_outputs(Path(sys.argv[1]))
    else:
        FILE.write_text(digests(), encoding="utf-8")
