"""How long a rider waits from a key to the next question, against the bare planning of that step.

Run: python tests/bench/bench_walk.py. Times are given as ratios to planning the same step by itself, so that
they mean the same on any computer; milliseconds stand beside them for information.
"""

from __future__ import annotations

from collections.abc import Mapping
from statistics import median
from time import perf_counter

from kickover.api import load
from kickover.ids import EventId
from kickover.reason.plan import plan
from kickover.walk.dialogue import Dialogue
from kickover.walk.hearing import heard
from kickover.walk.layout import aside_lines, laid_out
from kickover.walk.session import Phase
from walk.rider import Rider

Row = Mapping[str, float | int | str]

MACHINES = ("clip-on-two-stroke", "four-stroke-49", "points-moped")
CAUSE = EventId("tap-shut")


def bench_walk() -> list[Row]:
    """Walk with a shut fuel tap on each machine: one row a machine."""
    library = load()
    found: list[Row] = []
    for machine in MACHINES:
        session = library.walk("will-not-start", machine).session
        rider = Rider(session.model, frozenset({CAUSE}))
        dialogue = Dialogue(session)
        waits: list[float] = []
        plans: list[float] = []
        while dialogue.task().phase is not Phase.MENDED and len(waits) < 40:
            line = rider.says(dialogue.session, dialogue.task())
            begun = perf_counter()
            dialogue = heard(dialogue, line)
            screen = dialogue.screen()
            laid_out(screen, 80, dialogue.message)
            aside_lines(screen.aside)
            waits.append(perf_counter() - begun)
            begun = perf_counter()
            plan(dialogue.session.belief, dialogue.session.job)
            plans.append(perf_counter() - begun)
        found.append(
            {
                "what": "key to next question",
                "machine": machine,
                "steps": len(waits),
                "times the plan": round(median(waits) / median(plans), 2),
                "milliseconds": round(1000 * median(waits)),
                "milliseconds to plan": round(1000 * median(plans)),
            }
        )
    return found


if __name__ == "__main__":
    for row in bench_walk():
        print(row)
