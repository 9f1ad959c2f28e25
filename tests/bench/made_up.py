"""Made-up libraries of any size, as YAML: for growth only, they say nothing of engines."""

from __future__ import annotations

import random
from pathlib import Path

from kickover.authoring.loading import load_library
from kickover.model.library import Library

HEAD = """\
library: {{title: Made up, version: "1.0"}}
settings: {{order: {order}, rates: {{common: 3}}}}
sources: {{guess: {{title: A guess, kind: estimate}}}}
traits: {{engine: {{title: Has an engine, group: kind}}}}
machine: {{id: machine, title: Made up, about: Made up., invented: true, traits: [engine], figures: {{}}}}
trees: {{all: {{title: All, about: All., tops: [dead]}}}}
complaints:
  dead: {{title: Dead, words: [dead], gate: or, of: [{states}], proof: {{ask: Does it run?, minutes: 1}}}}
"""
CAUSES_A_FILE = 4000
"""No file of a library may hold more than 2 MB."""


def library_text(causes: int, checks: int, order: int = 1, seed: int = 0) -> dict[str, str]:
    """A library in files: causes under overlapping states, checks of four states each, shared repairs."""
    rng = random.Random(seed)
    width = max(1, min(60, causes // 2))
    members: list[set[int]] = [set() for _ in range(width)]
    for cause in range(causes):
        for state in rng.sample(range(width), min(3, width)):
            members[state].add(cause)
    for state, found in enumerate(members):
        found.add(state % causes)
    states = ", ".join(f"state-{state}" for state in range(width))
    tree = ["events:"]
    for state, found in enumerate(members):
        inputs = ", ".join(f"cause-{one}" for one in sorted(found))
        tree.append(f"  state-{state}: {{title: State {state}, gate: or, of: [{inputs}]}}")
    told = [
        f"  cause-{one}: {{title: Cause {one}, about: Made up., source: guess, rate: {rate:.3f}}}"
        for one, rate in enumerate(rng.uniform(0.3, 8) for _ in range(causes))
    ]
    work = ["checks:"]
    for one in range(checks):
        watched = ", ".join(f"state-{state}" for state in rng.sample(range(width), min(4, width)))
        minutes = f"minutes: {rng.uniform(0.5, 8):.2f}"
        work.append(
            f"  check-{one}: {{title: Check {one}, kind: look, ask: Is {one} so?, "
            f"observes: {{any: [{watched}]}}, abnormal: yes, false_alarm: 0.05, miss: 0.08, "
            f"{minutes}, source: guess}}"
        )
    repairs = max(1, min(200, causes))
    work.append("repairs:")
    for one in range(repairs):
        cured = ", ".join(f"cause-{cause}" for cause in range(one, causes, repairs))
        work.append(
            f"  repair-{one}: {{title: Repair {one}, roadside: false, cures: [{cured}], how: [Do it.], "
            f"minutes: {rng.uniform(5, 45):.2f}, source: guess}}"
        )
    return {
        "head.yaml": HEAD.format(order=order, states=states),
        "tree.yaml": "\n".join(tree) + "\n",
        "work.yaml": "\n".join(work) + "\n",
        **{
            f"causes-{first}.yaml": "\n".join(["causes:", *told[first : first + CAUSES_A_FILE]]) + "\n"
            for first in range(0, causes, CAUSES_A_FILE)
        },
    }


def write_library(folder: Path, causes: int, checks: int, order: int = 1) -> Path:
    """Write such a library into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in library_text(causes, checks, order).items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def made_up(folder: Path, causes: int, checks: int, order: int = 1) -> Library:
    """Write and load such a library; that some of its causes look alike is left out of account."""
    library, _ = load_library(write_library(folder, causes, checks, order))
    assert library is not None
    assert len(library.causes) == causes
    assert len(library.checks) == checks
    return library
