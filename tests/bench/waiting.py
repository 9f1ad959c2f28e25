"""How long a rider waits from a key to the next question, against the bare planning of that step."""

from __future__ import annotations

from statistics import median
from time import perf_counter

from bench.table import Row, at_most
from kickover.api import Loaded, load
from kickover.core.ids import EventId
from kickover.planning.plan import plan
from kickover.session.session import Phase
from kickover.ui.dialogue import Dialogue
from kickover.ui.input_handling import handle_input
from kickover.ui.layout import aside_lines, laid_out
from session.rider import Rider

MACHINES = ("clip-on-two-stroke", "four-stroke-49", "points-moped")
CAUSE = EventId("tap-shut")
MOST_STEPS = 40


def rows() -> list[Row]:
    """Walks with a shut fuel tap: one row a machine."""
    library = load()
    return [_walked(library, machine) for machine in MACHINES]


def _walked(library: Loaded, machine: str) -> Row:
    session = library.walk("will-not-start", machine).session
    rider = Rider(session.model, frozenset({CAUSE}))
    dialogue = Dialogue(session)
    waits: list[float] = []
    plans: list[float] = []
    while dialogue.task().phase is not Phase.MENDED and len(waits) < MOST_STEPS:
        line = rider.says(dialogue.session, dialogue.task())
        begun = perf_counter()
        dialogue = handle_input(dialogue, line)
        screen = dialogue.screen()
        laid_out(screen, 80, dialogue.message)
        aside_lines(screen.aside)
        waits.append(perf_counter() - begun)
        begun = perf_counter()
        plan(dialogue.session.belief, dialogue.session.job)
        plans.append(perf_counter() - begun)
    what = (
        f"key to next question, {machine}, {len(waits)} steps of {1000 * median(waits):.0f} ms, over the plan"
    )
    return at_most(what, median(waits) / median(plans), 1.5, " x")
