"""Entries to what surrounds a breakdown: lessons, service that keeps faults away, orders of checks."""

from __future__ import annotations

from kickover.ids import CheckId, EventId, FigureId, KitId, LessonId, MachineId, ServiceId
from kickover.library.model import ExpertOrder, Lesson, Service
from kickover.library.sections import Entry
from kickover.library.tables import inner
from kickover.library.values import needs, number, sources, text, texts


def lesson(entry: Entry) -> Lesson:
    """Give a lesson."""
    table = entry.data
    return Lesson(
        id=LessonId(entry.id),
        title=text(table, "title"),
        goal=text(table, "goal"),
        level=int(number(table, "level")),
        complaint=EventId(text(table, "complaint")),
        machine=MachineId(text(table, "machine")),
        faults=tuple(EventId(one) for one in texts(table, "faults")),
        kit=KitId(text(table, "kit")) if "kit" in table else None,
        given=tuple(EventId(one) for one in texts(table, "given")),
        hints=texts(table, "hints"),
        place=entry.place(),
    )


def service(entry: Entry) -> Service:
    """Give a job of service; one without `hours:` is done before every ride."""
    table = entry.data
    prevents = inner(table, "prevents")
    return Service(
        id=ServiceId(entry.id),
        title=text(table, "title"),
        how=texts(table, "how"),
        hours=number(table, "hours"),
        months=number(table, "months"),
        prevents={EventId(name): number(prevents, name) for name in prevents},
        figures=tuple(FigureId(one) for one in texts(table, "figures")),
        locking=text(table, "locking"),
        needs=needs(entry),
        sources=sources(table),
        place=entry.place(),
    )


def expert_order(entry: Entry) -> ExpertOrder:
    """Give a fixed order of checks; its id is that of its complaint."""
    table = entry.data
    return ExpertOrder(
        complaint=EventId(entry.id),
        about=text(table, "about"),
        checks=tuple(CheckId(one) for one in texts(table, "checks")),
        sources=sources(table),
        place=entry.place(),
    )
