"""`kickover service`: what to look after on one machine, what is due, what was done; to read or to print."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path

import click

from kickover.api import UnknownNameError
from kickover.cli import options
from kickover.cli.context import open_library, service_folder, today
from kickover.cli.output import answer, folded, json_option
from kickover.core.atomic_file import write_file
from kickover.model.library import Library, Machine
from kickover.packing.checklist import checklist
from kickover.packing.checklist_text import markdown, text_lines
from kickover.packing.prevention import services_for
from kickover.packing.printed import checklist_pdf
from kickover.packing.service_log import (
    USUAL_SPEED,
    DueTask,
    LogEntry,
    due_tasks,
    hours_run,
    read_log,
    with_entries,
    write_log,
)


@click.command()
@options.machine(required=True)
@click.option("--hours", type=options.AmountIn("h"), help="Write down how long the engine has run since new.")
@click.option("--km", type=options.AmountIn("km"),
              help=f"The same in kilometres, reckoned at {USUAL_SPEED:g} km an hour.")  # fmt: skip
@options.name("--done", "services", "Write down that a job was done.", multiple=True)
@options.day("--on", "When that was, 2026-03-31; today without it.")
@click.option("--due", is_flag=True, help="Only what is due by what was written down.")
@click.option("--log", "show_log", is_flag=True, help="Show what was written down, and when each job is due.")
@options.output("pdf", "md", what="Write it to print or to keep; without it, it is shown.")
@options.paper()
@click.option("--date", metavar="DATE", help="The date to print on it; today's is usual.")
@options.library
@json_option
def service(
    machine: str,
    hours: float | None,
    km: float | None,
    done: tuple[str, ...],
    on: str,
    due: bool,
    show_log: bool,
    output: Path | None,
    paper: str,
    date: str | None,
) -> None:
    """List what to look over before every ride and by hours, with the machine's own figures.

    With --hours, --km and --done a log is kept of the machine, so that --due and --log can say what is due.
    """
    loaded = open_library()
    known, of = loaded.library, loaded.machine(machine)
    if hours is None and km is not None:
        hours = km / USUAL_SPEED
    log = _kept(known, of, hours, done, on or today().isoformat())
    tasks = due_tasks(known, of, log, today())
    if show_log or ((hours is not None or done) and not (due or output)):
        answer(_log_data(log, tasks), _log_lines(log, tasks))
        return
    made = checklist(known, of, [one.service.id for one in tasks if one.due] if due else None)
    if output and options.form_of(output) == "pdf":
        write_file(output, checklist_pdf(made, date or today().isoformat(), paper))
    elif output:
        write_file(output, markdown(made).encode())
    answer({**asdict(made), "file": str(output) if output else None}, [] if output else text_lines(made))


def _kept(
    library: Library, machine: Machine, hours: float | None, done: tuple[str, ...], day: str
) -> tuple[LogEntry, ...]:
    """The log of the machine, with what is written down now. Raises a typed error for what cannot be."""
    file = service_folder() / f"{machine.id}.jsonl"
    log = read_log(file)
    if hours is None and not done:
        return log
    jobs = [one.id for one in services_for(library, machine)]
    for task in done:
        if task not in jobs:
            raise UnknownNameError("service", task, jobs)
    run = hours_run(log) if hours is None else hours
    log = with_entries(log, [LogEntry(day, run, task) for task in done or ("",)])
    file.parent.mkdir(parents=True, exist_ok=True)
    write_log(file, log)
    return log


def _log_data(log: tuple[LogEntry, ...], tasks: tuple[DueTask, ...]) -> dict[str, object]:
    rows = [
        {
            "id": one.service.id,
            "title": one.service.title,
            "left_hours": one.left,
            "due": one.due,
            "last": one.last.date if one.last else None,
        }
        for one in tasks
    ]
    return {"hours": hours_run(log), "log": [asdict(entry) for entry in log], "tasks": rows}


def _log_lines(log: tuple[LogEntry, ...], tasks: tuple[DueTask, ...]) -> Iterator[str]:
    yield f"Run {hours_run(log):.4g} hours."
    for entry in log:
        yield f"  {entry.date}  {entry.hours:>7.4g} h  {entry.task or 'hours read'}"
    for heading, due in (("Due", True), ("Not yet due", False)):
        yield ""
        yield f"{heading}:"
        for one in (task for task in tasks if task.due is due):
            when = f"in {one.left:.4g} h" if one.left > 0 else f"{-one.left:.4g} h over"
            last = f"done {one.last.date}" if one.last else "never written down"
            yield from folded(f"{one.service.title} ({one.service.id}): {when}, {last}", "  ")
