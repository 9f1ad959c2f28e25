"""Reviews of lessons and of service: faults that a lesson cannot hide, and jobs that keep nothing away."""

from __future__ import annotations

from collections.abc import Iterator

from kickover.library.model import Lesson
from kickover.library.subject import Subject, at
from kickover.problem import Problem

TWO_FAULTS_FROM = 4
"""The level from which on a lesson hides two faults."""


def check_lessons(subject: Subject) -> Iterator[Problem]:
    """Faults that the lesson's machine cannot have, or that never bring its complaint about."""
    for lesson in subject.library.lessons.values():
        if lesson.level >= TWO_FAULTS_FROM and len(lesson.faults) < 2:
            message = f"`{lesson.id}` is of level {lesson.level} and names one fault"
            mend = f"name two or more, or write a level below {TWO_FAULTS_FROM}"
            yield at(lesson.place, message, mend, "lessons", lesson.id, "faults")
        if not subject.structure.loops:
            yield from _misplaced(subject, lesson)


def _misplaced(subject: Subject, lesson: Lesson) -> Iterator[Problem]:
    library = subject.library
    machine = library.machines.get(lesson.machine)
    if machine is None or lesson.complaint not in library.complaints or lesson.complaint in subject.spoken_of:
        return
    below = subject.structure.below([lesson.complaint])
    for fault in lesson.faults:
        cause = library.causes.get(fault)
        if cause is None or fault in subject.spoken_of:
            continue
        if not machine.fits(cause.only_if):
            message = f"`{lesson.machine}` cannot have `{fault}`"
        elif fault not in below:
            message = f"`{fault}` never shows as `{lesson.complaint}`"
        else:
            continue
        mend = f"name another fault in `{lesson.id}`, or another complaint or machine"
        yield at(lesson.place, message, mend, "lessons", lesson.id, "faults", fault)


def check_services(subject: Subject) -> Iterator[Problem]:
    """Jobs of service for causes that no machine with that job can have."""
    library = subject.library
    for service in library.services.values():
        fitting = [one for one in subject.machines if one.fits(service.needs.only_if)]
        for name in service.prevents:
            cause = library.causes.get(name)
            if cause is None or name in subject.spoken_of or not fitting:
                continue
            if not any(machine.fits(cause.only_if) for machine in fitting):
                message = f"`{service.id}` prevents `{name}`, which no machine with that job can have"
                mend = "mend its `only_if:`, or take the cause out"
                yield at(service.place, message, mend, "service", service.id, "prevents", name)
