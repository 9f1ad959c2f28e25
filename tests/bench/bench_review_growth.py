"""Reviewing grows in proportion to the library: twice the causes take about twice the time."""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from kickover.library.load import load_library
from kickover.library.model import Library
from kickover.library.review import review
from library.base_library import write_library

PER_STATE = 10
"""Causes under one state, and states under one group."""


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
    return {f"many-{name}": f"{name}:\n{''.join(lines)}" for name, lines in sections.items()}


def _events(states: int) -> Iterator[str]:
    for state in range(states):
        below = ", ".join(f"cause-{state * PER_STATE + number}" for number in range(PER_STATE))
        yield f"  state-{state}: {{title: State {state}, gate: or, of: [{below}]}}\n"
    for group in range(0, states, PER_STATE):
        below = ", ".join(f"state-{number}" for number in range(group, min(group + PER_STATE, states)))
        yield f"  group-{group}: {{title: Group {group}, gate: or, of: [{below}]}}\n"


def loaded(folder: Path, causes: int) -> Library:
    library, problems = load_library(write_library(folder, **many_causes(causes)), checked=True)
    assert library is not None
    assert problems == ()
    return library


def seconds_to_review(library: Library) -> float:
    taken = []
    for _ in range(3):
        start = time.process_time()
        assert review(library) == ()
        taken.append(time.process_time() - start)
    return min(taken)


@pytest.mark.parametrize("causes", [1_000, 4_000])
def test_twice_the_causes_take_at_most_three_times_as_long(tmp_path: Path, causes: int) -> None:
    small, large = loaded(tmp_path / "small", causes), loaded(tmp_path / "large", 2 * causes)
    ratio = seconds_to_review(large) / seconds_to_review(small)
    assert ratio < 3, f"twice the causes took {ratio:.1f} times as long"
