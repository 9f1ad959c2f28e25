"""`kickover service`: what to look after on one machine, what is due, what was done; to read or to print."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from datetime import date
from pathlib import Path

import click

from kickover.api import UnknownNameError
from kickover.cli.completing import names_of
from kickover.cli.context import (
    AmountIn,
    folded,
    form_of,
    json_option,
    library_option,
    open_library,
    print_json,
    service_log_file,
    today,
)
from kickover.core.atomic_file import write_file
from kickover.documents.paper import PAPERS
from kickover.model.library import Library, Machine
from kickover.packing.checklist import Checklist, checklist
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

FORMATS = ("pdf", "md")


@click.command()
@click.option(
    "--machine",
    shell_complete=names_of("machines"),
    required=True,
    metavar="NAME|FILE",
    help="The machine that is looked after.",
)
@click.option("--hours", type=AmountIn("h"), help="Write down how long the engine has run since new.")
@click.option("--km", type=AmountIn("km"),
              help=f"The same in kilometres, reckoned at {USUAL_SPEED:g} km an hour.")  # fmt: skip
@click.option(
    "--done",
    shell_complete=names_of("services"),
    multiple=True,
    metavar="JOB",
    help="Write down that a job was done.",
)
@click.option("--on", metavar="DATE", help="When that was, 2026-03-31; today without it.")
@click.option("--due", is_flag=True, help="Only what is due by what was written down.")
@click.option("--log", "show_log", is_flag=True, help="Show what was written down, and when each job is due.")
@click.option("-o", "--output", type=click.Path(path_type=Path), metavar="FILE.pdf|md",
              help="Write it to print or to keep; without it, it is shown.")  # fmt: skip
@click.option("--paper", type=click.Choice(list(PAPERS)), default="a4", show_default=True, help="For a PDF.")
@click.option("--date", "printed", metavar="DATE", help="The date to print on it; today's is usual.")
@library_option
@json_option
def service(
    machine: str,
    hours: float | None,
    km: float | None,
    done: tuple[str, ...],
    on: str | None,
    due: bool,
    show_log: bool,
    output: Path | None,
    paper: str,
    printed: str | None,
    library: Path | None,
    as_json: bool,
) -> int:
    """List what to look over before every ride and by hours, with the machine's own figures.

    With --hours, --km and --done a log is kept of the machine, so that --due and --log can say what is due.
    """
    form = form_of(output, FORMATS) if output else ""
    loaded = open_library(library)
    known, of = loaded.library, loaded.machine(machine)
    if hours is None and km is not None:
        hours = km / USUAL_SPEED
    log = _kept(known, of, hours, done, on)
    tasks = due_tasks(known, of, log, today())
    if show_log or ((hours is not None or done) and not (due or output)):
        _print_log(log, tasks, as_json)
        return 0
    made = checklist(known, of, [one.service.id for one in tasks if one.due] if due else None)
    if output:
        write_file(output, _printed(made, form, printed or today().isoformat(), paper))
    if as_json:
        print_json({**asdict(made), "file": str(output) if output else None})
    elif output is None:
        for line in text_lines(made):
            click.echo(line)
    return 0


def _printed(made: Checklist, form: str, day: str, paper: str) -> bytes:
    return checklist_pdf(made, day, paper) if form == "pdf" else markdown(made).encode()


def _kept(
    library: Library, machine: Machine, hours: float | None, done: tuple[str, ...], on: str | None
) -> tuple[LogEntry, ...]:
    """The log of the machine, with what is written down now. Raises a typed error for what cannot be."""
    file = service_log_file(machine.id)
    log = read_log(file)
    if hours is None and not done:
        return log
    try:
        day = (today() if on is None else date.fromisoformat(on)).isoformat()
    except ValueError:
        raise click.UsageError(f"{on!r} is no date; write it as 2026-03-31") from None
    jobs = [one.id for one in services_for(library, machine)]
    for task in done:
        if task not in jobs:
            raise UnknownNameError("service", task, jobs)
    run = hours_run(log) if hours is None else hours
    log = with_entries(log, [LogEntry(day, run, task) for task in done or ("",)])
    file.parent.mkdir(parents=True, exist_ok=True)
    write_log(file, log)
    return log


def _print_log(log: tuple[LogEntry, ...], tasks: tuple[DueTask, ...], as_json: bool) -> None:
    if not as_json:
        for line in _log_lines(log, tasks):
            click.echo(line)
        return
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
    print_json({"hours": hours_run(log), "log": [asdict(entry) for entry in log], "tasks": rows})


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
