"""The service list as text: for the terminal, and as Markdown (CommonMark)."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from kickover.packing.checklist import Checklist, ServiceTask
from kickover.session.outcome import LOCAL_RULES
from kickover.session.wording import lower_first, minutes_in_words

TIGHTENING, CAUTIONS = "Tightening figures", "Cautions"
_MARKS = str.maketrans({mark: f"\\{mark}" for mark in "\\`*_[]<>#|"})


def details(task: ServiceTask) -> Iterator[str]:
    """What stands below the title of a task, a line each."""
    for number, step in enumerate(task.how, start=1):
        yield f"{number}. {step}" if len(task.how) > 1 else step
    yield from task.figures
    if task.locking:
        yield f"Locking: {task.locking}."
    needs = f" Needs: {', '.join(map(lower_first, task.items))}." if task.items else ""
    waiting = f", {minutes_in_words(task.waiting)} of them waiting" if task.waiting else ""
    yield f"About {minutes_in_words(task.minutes)}{waiting}.{needs}"
    if task.keeps:
        yield f"Keeps away: {'; '.join(map(lower_first, task.keeps))}."
    for note in task.notes:
        yield f"Note: {note}"
    if task.hazards:
        yield f"Caution: {', '.join(map(lower_first, task.hazards))}."


def text_lines(made: Checklist, width: int = 78) -> Iterator[str]:
    """The list for a terminal, no line longer than `width`."""
    yield from wrap(f"Service: {made.machine}", width)
    for part in made.parts:
        yield ""
        yield from wrap(part.title.upper(), width)
        for task in part.tasks:
            yield from _hung(f"[ ] {task.title}", width, 4)
            for line in details(task):
                yield from _hung(f"    {line}", width, 4)
    for heading, rows in ends(made):
        yield from ("", heading.upper())
        for title, words in rows:
            yield from _hung(f"    {title}: {words}", width, 6)
    yield ""
    yield from wrap(LOCAL_RULES, width)


def markdown(made: Checklist) -> str:
    """The list as Markdown, with boxes to tick off."""
    lines = [f"# Service: {_plain(made.machine)}", ""]
    for part in made.parts:
        lines += [f"## {_plain(part.title)}", ""]
        for task in part.tasks:
            lines.append(f"- [ ] **{_plain(task.title)}**")
            lines += [f"  - {_plain(line)}" for line in details(task)]
        lines.append("")
    for heading, rows in ends(made):
        table = heading == TIGHTENING
        lines += [f"## {heading}", "", *(["| what | figure |", "|---|---|"] if table else [])]
        form = "| {} | {} |" if table else "- **{}**: {}"
        lines += [*(form.format(_plain(title), _plain(words)) for title, words in rows), ""]
    return "\n".join([*lines, LOCAL_RULES, ""])


def ends(made: Checklist) -> Iterator[tuple[str, tuple[tuple[str, str], ...]]]:
    """What stands after the tasks, a heading each, without those under which there is nothing."""
    cautions = tuple((caution.title, caution.words) for caution in made.cautions)
    for heading, rows in ((TIGHTENING, made.torques), ("Habits", made.notes), (CAUTIONS, cautions)):
        if rows:
            yield heading, rows


def _hung(text: str, width: int, hang: int) -> list[str]:
    lead = " " * (len(text) - len(text.lstrip()))
    return wrap(
        text.lstrip(), width, initial_indent=lead, subsequent_indent=" " * hang, break_on_hyphens=False
    )


def _plain(text: str) -> str:
    """Text without what Markdown takes for a mark."""
    return " ".join(text.split()).translate(_MARKS)
