"""How much there is to read: words a step and steps a walk, over simulated walks of the shipped library.

Bars: the median step has at most 60 words, none more than 150 (own choice). Everything on the screen counts:
heading, cautions, choices, the line of words.
"""

from __future__ import annotations

from collections.abc import Iterator
from statistics import mean, median

from bench.table import Row, at_most
from kickover.authoring import load_or_raise, shipped_folder
from kickover.model.library import Library
from kickover.ui.dialogue import Dialogue
from kickover.ui.layout import keys_line, laid_out
from kickover.ui.plain_lines import PLAIN_WIDTH
from session.chance_rider import course

WALKS = 200
MOST_MEDIAN = 60
MOST_WORDS = 150


def rows() -> list[Row]:
    """Words a step and steps a walk."""
    library = load_or_raise(shipped_folder())
    walks = [list(words_of_walk(library, number)) for number in range(WALKS)]
    counts = [count for walk in walks for count, _ in walk]
    longest, where = max((step for walk in walks for step in walk), key=lambda step: step[0])
    return [
        at_most("words a step, median", median(counts), MOST_MEDIAN),
        at_most(f"words a step, most ({where})", longest, MOST_WORDS),
        Row("words a step, mean", f"{mean(counts):.1f}"),
        Row("steps a walk, mean", f"{mean(map(len, walks)):.1f}"),
    ]


def words_of_walk(library: Library, number: int) -> Iterator[tuple[int, str]]:
    """The words of each step of one walk, and the step."""
    for task, after in course(library, number):
        if after.before is None:
            continue
        screen = Dialogue(after.before).screen()
        lines = [*laid_out(screen, PLAIN_WIDTH), *keys_line(screen, PLAIN_WIDTH)]
        count = sum(len(line.text.split()) for line in lines) + len(screen.prompt.split())
        yield count, f"{task.phase} {task.id}"
