"""The service log of a machine: how long it has run, what was done when, and what is due.

One line of JSON an entry, only ever added to. Running time is that of the engine in hours, counted from new,
as the meter or the rider has it.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from datetime import date
from pathlib import Path

from kickover.core.atomic_file import write_file
from kickover.core.problem import KickoverError
from kickover.model.library import Library, Machine, Service
from kickover.packing.prevention import services_for

DAYS_OF_A_MONTH = 30.4
USUAL_SPEED = 25.0
"""Kilometres in an hour of running, where only they are known: our estimate for light vehicles in town."""


class ServiceLogError(KickoverError):
    """A log that cannot be read, or an entry that cannot be."""


@dataclass(frozen=True, slots=True)
class LogEntry:
    """On a day (ISO 8601) the engine had run `hours`; `task` is the job that was done then, if any."""

    date: str
    hours: float
    task: str = ""


@dataclass(frozen=True, slots=True)
class DueTask:
    """A job that comes round: `left` is the running time until it is due, below 0 when it is overdue.

    It is due as well when its months are over. `last` is when it was done last, where that was written down.
    """

    service: Service
    left: float
    due: bool
    last: LogEntry | None


def read_log(file: Path) -> tuple[LogEntry, ...]:
    """The entries, oldest first; none where there is no file. Raises ServiceLogError."""
    entries = []
    try:
        lines = file.read_text(encoding="utf-8").splitlines()
    except FileNotFoundError:
        return ()
    except (OSError, UnicodeDecodeError) as error:
        raise ServiceLogError(f"{file}: the log cannot be read ({error})") from None
    for number, line in enumerate(lines, start=1):
        try:
            data = json.loads(line)
            entry = LogEntry(str(data["date"]), float(data["hours"]), str(data["task"]))
            date.fromisoformat(entry.date)
            sound = 0.0 <= entry.hours < float("inf")
        except (ValueError, KeyError, TypeError, OverflowError, RecursionError):
            sound = False
        if not sound:
            raise ServiceLogError(f"{file}:{number}: this is no entry of a log; take the line out")
        entries.append(entry)
    return tuple(entries)


def with_entries(log: tuple[LogEntry, ...], added: Iterable[LogEntry]) -> tuple[LogEntry, ...]:
    """The log with more entries. Raises ServiceLogError for hours that run backwards."""
    for entry in added:
        if log and entry.hours < hours_run(log):
            raise ServiceLogError(
                f"the log has {hours_run(log):g} hours already, and {entry.hours:g} is less; "
                "give the hours since new"
            )
        log = (*log, entry)
    return log


def write_log(file: Path, log: tuple[LogEntry, ...]) -> None:
    """Write the whole log in one move. Raises OutputError."""
    text = "".join(f"{json.dumps(asdict(entry), sort_keys=True)}\n" for entry in log)
    write_file(file, text.encode())


def hours_run(log: tuple[LogEntry, ...]) -> float:
    """How long the engine has run, as far as the log knows."""
    return max((entry.hours for entry in log), default=0.0)


def due_tasks(
    library: Library, machine: Machine, log: tuple[LogEntry, ...], today: date
) -> tuple[DueTask, ...]:
    """The jobs that come round on a machine, the most urgent first.

    What was never written down as done counts from new, and its months from the first entry.
    """
    now = hours_run(log)
    found = []
    for service in services_for(library, machine):
        if not service.hours or service.once:
            continue
        last = next((entry for entry in reversed(log) if entry.task == service.id), None)
        left = service.hours - (now - (last.hours if last else 0.0))
        since = last or (log[0] if log else None)
        days = (today - date.fromisoformat(since.date)).days if since else 0
        over = bool(service.months) and days >= service.months * DAYS_OF_A_MONTH
        found.append(DueTask(service, left, over or left <= 0, last))
    return tuple(sorted(found, key=lambda task: (not task.due, task.left)))
