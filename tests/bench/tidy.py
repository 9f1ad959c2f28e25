"""Made-up libraries of any size that review finds nothing wrong with: each cause has its check and repair."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from kickover.authoring.loading import load_library
from kickover.model.library import Library
from worlds.tiny_library import write_library

PER_STATE = 10
"""Causes under one state, and states under one group."""
ENTRIES_A_FILE = 4000
"""No file of a library may hold more than 2 MB."""


def many_causes(causes: int) -> dict[str, str]:
    """Files with that many causes, each with a check and a repair, under states and groups."""
    states = causes // PER_STATE
    groups = [f"group-{number}" for number in range(0, states, PER_STATE)]
    sections = {
        "complaints": [
            f"  all: {{title: All, words: [all], gate: or, of: [{', '.join(groups)}],"
            " proof: {ask: 'Does it go?', minutes: 1, hazards: [moving-parts]}}\n"
        ],
        "events": list(_events(states)),
        "causes": [f"  cause-{number}: {{title: Cause {number}, rate: 1}}\n" for number in range(causes)],
        "checks": [
            f"  look-{number}: {{title: Look {number}, kind: look, ask: 'Is it so?',"
            f" observes: cause-{number}, abnormal: yes, false_alarm: 0.05, miss: 0.05, minutes: 1}}\n"
            for number in range(causes)
        ],
        "repairs": [
            f"  mend-{number}: {{title: Mend {number}, roadside: false, cures: [cause-{number}],"
            " how: [Mend it.], minutes: 1}\n"
            for number in range(causes)
        ],
    }
    return {
        f"many-{name}-{first}": f"{name}:\n{''.join(lines[first : first + ENTRIES_A_FILE])}"
        for name, lines in sections.items()
        for first in range(0, len(lines), ENTRIES_A_FILE)
    }


def _events(states: int) -> Iterator[str]:
    for state in range(states):
        below = ", ".join(f"cause-{state * PER_STATE + number}" for number in range(PER_STATE))
        yield f"  state-{state}: {{title: State {state}, gate: or, of: [{below}]}}\n"
    for group in range(0, states, PER_STATE):
        below = ", ".join(f"state-{number}" for number in range(group, min(group + PER_STATE, states)))
        yield f"  group-{group}: {{title: Group {group}, gate: or, of: [{below}]}}\n"


def write_tidy(folder: Path, causes: int) -> Path:
    """Write such a library; `causes` is a multiple of `PER_STATE`."""
    return write_library(folder, **many_causes(causes))


def read_tidy(folder: Path, causes: int) -> Library:
    """Load such a library, and check it."""
    library, problems = load_library(folder)
    assert library is not None
    assert problems == ()
    assert len(library.causes) >= causes
    return library


def tidy(folder: Path, causes: int) -> Library:
    """Write such a library, and load it."""
    return read_tidy(write_tidy(folder, causes), causes)
