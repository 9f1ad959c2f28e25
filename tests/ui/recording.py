"""Whole walks as text, one for each machine, to be read by people and compared by a test.

Run to record them anew after the library or the planning has changed, then read what changed:
python tests/ui/recording.py
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from pathlib import Path

from kickover.authoring import load_or_raise, shipped_folder
from kickover.core.ids import EventId, KitId, MachineId
from kickover.model.library import Library
from kickover.session.session import Phase, begin
from kickover.ui.dialogue import Dialogue
from kickover.ui.input_handling import handle_input
from kickover.ui.layout import keys_line, laid_out
from kickover.ui.plain_lines import PLAIN_WIDTH
from session.rider import Rider

FOLDER = Path(__file__).parent / "recorded"


@dataclass(frozen=True)
class Story:
    """What is wrong with a machine, and what its rider has at hand."""

    machine: str
    complaint: str
    cause: str
    kit: str


STORIES = (
    Story("clip-on-two-stroke", "no-spark-seen", "source-coil-open", "bench"),
    Story("four-stroke-49", "will-not-start-after-storage", "fuel-stale", "bench"),
    Story("points-moped", "starts-then-dies", "tank-vent-blocked", "pouch"),
    Story("electric-step-through", "will-not-start-cold", "battery-flat", "bench"),
    Story("oil-pump-scooter", "no-power", "air-filter-blocked", "bench"),
    Story("roller-two-stroke", "bogs", "metering-diaphragm-stiff", "bench"),
)


def recorded(story: Story, library: Library) -> str:
    """The walk as plain lines, what the rider typed after each prompt."""
    machine = library.machines[MachineId(story.machine)]
    kit = library.kits[KitId(story.kit)].items
    session = begin(library, machine, [EventId(story.complaint)], kit=kit)
    rider = Rider(session.model, frozenset({EventId(story.cause)}))
    dialogue = Dialogue(session)
    sink = io.StringIO()
    sink.write(f"A recorded walk: {machine.title}. Hidden fault: {library.title_of(EventId(story.cause))}.\n")
    for _ in range(100):
        screen = dialogue.screen()
        lines = [*laid_out(screen, PLAIN_WIDTH, dialogue.message), *keys_line(screen, PLAIN_WIDTH)]
        sink.write("\n" + "".join(f"{line.text.rstrip()}\n" for line in lines))
        typed = rider.says(dialogue.session, dialogue.task())
        sink.write(f"{screen.prompt}: {typed}".rstrip() + "\n")
        if dialogue.task().phase in {Phase.MENDED, Phase.GIVEN_UP}:
            return sink.getvalue()
        dialogue = handle_input(dialogue, typed)
    raise AssertionError(f"the walk of {story.machine} does not end")


def path_of(story: Story) -> Path:
    """The file of a recorded walk."""
    return FOLDER / f"{story.machine}.txt"


if __name__ == "__main__":
    shipped = load_or_raise(shipped_folder())
    FOLDER.mkdir(exist_ok=True)
    for one in STORIES:
        path_of(one).write_text(recorded(one, shipped), encoding="utf-8")
        print(path_of(one))
