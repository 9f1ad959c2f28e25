"""Reviews of repairs, steps, house events, words and sketches."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from itertools import combinations
from math import dist

from kickover.authoring.validate.context import ValidationContext, listed_ids, wrong
from kickover.core.ids import EventId
from kickover.core.problem import Problem
from kickover.model.drawings import RING
from kickover.model.graph import circular_ids
from kickover.model.job_rules import closure
from kickover.model.library import Check, Lesson, Library, Repair, Service, Setup

SKETCH_WIDTH = 38
SKETCH_HEIGHT = 8
WALK_WORDS = frozenset({"why", "back", "skip", "likely", "quit", "help", "cannot", "note", "undo", "unsure"})
"""What a person can say in a walk besides an answer."""


def check_repairs(subject: ValidationContext) -> Iterator[Problem]:
    """Causes that no lasting repair cures, on some machine that can have them."""
    library = subject.library
    curing: dict[EventId, list[Repair]] = defaultdict(list)
    for repair in library.repairs.values():
        for cured in repair.cures:
            curing[cured].append(repair)
    for cause in library.causes.values():
        if cause.id in subject.spoken_of:
            continue
        lasting = [repair for repair in curing[cause.id] if not repair.roadside]
        if not lasting:
            what = "no repair cures" if not curing[cause.id] else "only roadside repairs cure"
            hint = "name it in the `cures:` of a repair with `roadside: false`"
            yield wrong(cause, f"{what} `{cause.id}`", hint)
            continue
        bare = [
            machine.id
            for machine in subject.machines
            if machine.fits(cause.only_if)
            and not any(machine.fits(repair.needs.only_if) for repair in lasting)
        ]
        if bare:
            message = f"no lasting repair of `{cause.id}` fits {listed_ids(bare)}"
            yield wrong(cause, message, "widen the `only_if:` of a repair, or add one")


def check_minutes(subject: ValidationContext) -> Iterator[Problem]:
    """Repairs that take no time: nothing would be tried before them."""
    for repair in subject.library.repairs.values():
        if repair.needs.minutes <= 0.0:
            message = f"`{repair.id}` takes 0 minutes"
            yield wrong(repair, message, "write how long it takes", "minutes")


def check_setups(subject: ValidationContext) -> Iterator[Problem]:
    """Setups that need themselves, steps that need what they must not have, and dangers nobody can end."""
    library = subject.library
    circular = circular_ids({setup.id: setup.needs.setups for setup in library.setups.values()})
    for setup in library.setups.values():
        if setup.id in circular:
            yield wrong(setup, f"`{setup.id}` needs itself first", "mend its `needs:`", "needs")
        if setup.danger and not setup.how:
            message = f"nothing is said on how to end `{setup.id}`"
            yield wrong(setup, message, "add steps under `how:`")
    for step in steps_of(library):
        yield from _too_much_waiting(step)
        both = sorted(closure(step.needs.setups, library.setups) & set(step.needs.undone))
        if both:
            message = f"`{step.id}` needs {listed_ids(both)} in place and not in place"
            yield wrong(step, message, "mend `needs:` or `undone:`", "undone")


def _too_much_waiting(step: Check | Repair | Setup | Service) -> Iterator[Problem]:
    if step.needs.waiting > step.needs.minutes:
        message = f"`{step.id}` waits {step.needs.waiting:g} minutes of {step.needs.minutes:g}"
        yield wrong(step, message, "count the waiting in `minutes:` as well", "waiting")


def steps_of(library: Library) -> Iterator[Check | Repair | Setup]:
    """Every check, repair and setup."""
    yield from library.checks.values()
    yield from library.repairs.values()
    yield from library.setups.values()


def check_houses(subject: ValidationContext) -> Iterator[Problem]:
    """House events that exclude one another one way only, and waits without words."""
    houses = subject.library.houses
    for house in houses.values():
        for other in house.excludes:
            if other in houses and house.id not in houses[other].excludes:
                message = f"`{house.id}` excludes `{other}`, but not the other way round"
                hint = f"add `{house.id}` to the `excludes:` of `{other}`"
                yield wrong(house, message, hint, "excludes", other)
        if house.wait is not None and not house.how:
            message = f"`{house.id}` can be waited for, and nothing says how"
            yield wrong(house, message, "add `how: ...`", "wait")


def check_answers(subject: ValidationContext) -> Iterator[Problem]:
    """Answers that would be taken for a word of the walk, or for one another."""
    for check in subject.library.checks.values():
        titles: set[str] = set()
        for finding in check.findings:
            for word in sorted({finding.id, *finding.words} & WALK_WORDS):
                message = f"the answer `{word}` of `{check.id}` is a word of the walk itself"
                yield wrong(check, message, "give it another name", "findings", finding.id)
            if finding.title.casefold() in titles:
                message = f"two findings of `{check.id}` read `{finding.title}`"
                yield wrong(check, message, "word them apart", "findings", finding.id)
            titles.add(finding.title.casefold())


def check_sketches(subject: ValidationContext) -> Iterator[Problem]:
    """Sketches that do not fit beside the words on a phone."""
    for check in subject.library.checks.values():
        lines = check.sketch.splitlines()
        width = max((len(line) for line in lines), default=0)
        if width > SKETCH_WIDTH or len(lines) > SKETCH_HEIGHT:
            message = f"the sketch of `{check.id}` is {width} wide and {len(lines)} high"
            hint = f"make it at most {SKETCH_WIDTH} wide and {SKETCH_HEIGHT} high"
            yield wrong(check, message, hint, "sketch")


TWO_FAULTS_FROM = 4
"""The level from which on a lesson hides two faults."""


def check_lessons(subject: ValidationContext) -> Iterator[Problem]:
    """Faults that the lesson's machine cannot have, or that never bring its complaint about."""
    for lesson in subject.library.lessons.values():
        if lesson.level >= TWO_FAULTS_FROM and len(lesson.faults) < 2:
            message = f"`{lesson.id}` is of level {lesson.level} and names one fault"
            hint = f"name two or more, or write a level below {TWO_FAULTS_FROM}"
            yield wrong(lesson, message, hint, "faults")
        if not subject.structure.loops:
            yield from _misplaced(subject, lesson)


def _misplaced(subject: ValidationContext, lesson: Lesson) -> Iterator[Problem]:
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
        hint = f"name another fault in `{lesson.id}`, or another complaint or machine"
        yield wrong(lesson, message, hint, "faults", fault)


def check_services(subject: ValidationContext) -> Iterator[Problem]:
    """Jobs of service for causes that no machine with them can have, or that wait longer than they take."""
    library = subject.library
    for service in library.services.values():
        yield from _too_much_waiting(service)
        fitting = [machine for machine in subject.machines if machine.fits(service.needs.only_if)]
        for name in service.prevents:
            cause = library.causes.get(name)
            if cause is None or name in subject.spoken_of or not fitting:
                continue
            if not any(machine.fits(cause.only_if) for machine in fitting):
                message = f"`{service.id}` prevents `{name}`, which no machine with that job can have"
                hint = "mend its `only_if:`, or take the cause out"
                yield wrong(service, message, hint, "prevents", name)


def check_drawings(subject: ValidationContext) -> Iterator[Problem]:
    """Numbers of places that lie on each other or beyond the edge, and places that no step names."""
    library = subject.library
    named = {place for step in steps_of(library) for place in step.needs.shown_at}
    for drawing in library.drawings.values():
        for name, place in drawing.places.items():
            if not all(RING <= x <= most - RING for x, most in zip(place.at, drawing.size, strict=True)):
                message = f"the number of `{name}` lies over the edge of `{drawing.id}`"
                yield wrong(
                    drawing, message, "move its `at`, or make the drawing larger", "places", name, "at"
                )
            if name not in named and name not in subject.spoken_of:
                message = f"no check, repair or setup is at the place `{name}`"
                hint = f"write `shown_at: [{name}]` at a step, or delete it"
                yield wrong(drawing, message, hint, "places", name)
        for (name, first), (other, second) in combinations(drawing.places.items(), 2):
            if dist(first.at, second.at) < 2 * RING - 0.5:
                message = f"the numbers of `{name}` and `{other}` lie on each other in `{drawing.id}`"
                yield wrong(drawing, message, "move one of them", "places", name)


REVIEWS = (
    check_repairs,
    check_minutes,
    check_setups,
    check_houses,
    check_answers,
    check_sketches,
    check_lessons,
    check_services,
    check_drawings,
)
