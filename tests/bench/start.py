"""From the command line to the first question, and reading libraries, against what cannot be avoided."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from functools import partial
from pathlib import Path
from time import process_time

import yaml

from bench.table import Row, at_most, exponent, seconds
from bench.tidy import read_tidy, write_tidy

IMPORTS = "import numpy, click, yaml, jsonschema, prompt_toolkit, platformdirs"
"""The libraries that the first question needs."""
GIVEN = f"{IMPORTS}, networkx, graphviz"
"""All that the program is built on, two of which a walk never loads."""

WALK = ["walk", "will-not-start", "--machine", "clip-on-two-stroke", "--plain"]
SIZES = (100, 500, 2000, 8000, 20000)
FEW = 2000
"""Larger libraries are read once."""


def rows() -> list[Row]:
    """Ratios of times, and how reading grows."""
    with tempfile.TemporaryDirectory() as place:
        return [*_first_question(Path(place)), *_reading(Path(place))]


def _first_question(place: Path) -> list[Row]:
    environment = {**os.environ, "KICKOVER_HOME": str(place / "home")}

    def walk() -> None:
        subprocess.run(
            [sys.executable, "-m", "kickover.cli.main", *WALK],
            input=b"",
            env=environment,
            capture_output=True,
            check=False,
        )

    bare = seconds(lambda: subprocess.run([sys.executable, "-c", IMPORTS], check=True), 7)
    given = seconds(lambda: subprocess.run([sys.executable, "-c", GIVEN], check=True), 7)
    walk()
    warm = seconds(walk, 7)
    return [
        at_most("start to first question over the bare imports", warm / bare, 1.5, " x"),
        at_most("  over those of all libraries that the program is built on", warm / given, 1.5, " x"),
        Row("  bare imports on this computer", f"{bare * 1000.0:.0f} ms"),
    ]


def _reading(place: Path) -> list[Row]:
    """Libraries of so many causes, each with its check and repair, under states and groups."""
    found = []
    times = []
    for size in SIZES:
        folder = write_tidy(place / f"events-{size}", size)
        texts = [path.read_text(encoding="utf-8") for path in sorted(folder.glob("*.yaml"))]
        repeats = 3 if size <= FEW else 1
        bare = seconds(partial(_parse, texts), repeats, process_time)
        times.append(seconds(partial(read_tidy, folder, size), repeats, process_time))
        found.append(Row(f"load and check {size} events over bare YAML", f"{times[-1] / bare:.2f} x"))
    found.append(at_most("  grows with events to the power of", exponent(SIZES, times), 1.1))
    return found


def _parse(texts: list[str]) -> None:
    for text in texts:
        yaml.load(text, yaml.CSafeLoader)
