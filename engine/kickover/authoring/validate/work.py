"""Reviews of repairs, steps, house events, words and sketches."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from kickover.authoring.validate.context import ValidationContext, at, listed_ids
from kickover.core.ids import EventId, SetupId
from kickover.core.problem import Problem, SourcePlace
from kickover.model.graph import circular_ids
from kickover.model.library import Lesson, Library, Needs, Repair

_MOST_SETUPS = 1_000
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
            yield at(cause.place, f"{what} `{cause.id}`", hint, "causes", cause.id)
            continue
        bare = [
            machine.id
            for machine in subject.machines
            if machine.fits(cause.only_if)
            and not any(machine.fits(repair.needs.only_if) for repair in lasting)
        ]
        if bare:
            message = f"no lasting repair of `{cause.id}` fits {listed_ids(bare)}"
            yield at(cause.place, message, "widen the `only_if:` of a repair, or add one", "causes", cause.id)


def check_minutes(subject: ValidationContext) -> Iterator[Problem]:
    """Repairs that take no time: nothing would be tried before them."""
    for repair in subject.library.repairs.values():
        if repair.needs.minutes <= 0.0:
            message = f"`{repair.id}` takes 0 minutes"
            yield at(repair.place, message, "write how long it takes", "repairs", repair.id, "minutes")


def check_setups(subject: ValidationContext) -> Iterator[Problem]:
    """Setups that need themselves, steps that need what they must not have, and dangers nobody can end."""
    library = subject.library
    circular = circular_ids({setup.id: setup.needs.setups for setup in library.setups.values()})
    for setup in library.setups.values():
        if setup.id in circular:
            yield at(
                setup.place,
                f"`{setup.id}` needs itself first",
                "mend its `needs:`",
                "setups",
                setup.id,
                "needs",
            )
        if setup.danger and not setup.how:
            message = f"nothing is said on how to end `{setup.id}`"
            yield at(setup.place, message, "add steps under `how:`", "dangers", setup.id)
    for place, trail, needs in steps_of(library):
        yield from _too_much_waiting(place, trail, needs)
        both = sorted(_closure(library, needs.setups) & set(needs.undone)) if needs.undone else []
        if both:
            message = f"`{trail[1]}` needs {listed_ids(both)} in place and not in place"
            yield at(place, message, "mend `needs:` or `undone:`", *trail, "undone")


def _too_much_waiting(place: SourcePlace, trail: tuple[str, str], needs: Needs) -> Iterator[Problem]:
    if needs.waiting > needs.minutes:
        message = f"`{trail[1]}` waits {needs.waiting:g} minutes of {needs.minutes:g}"
        yield at(place, message, "count the waiting in `minutes:` as well", *trail, "waiting")


def steps_of(library: Library) -> Iterator[tuple[SourcePlace, tuple[str, str], Needs]]:
    """Every check, repair and setup with its place, its trail and its needs."""
    for check in library.checks.values():
        yield check.place, ("checks", check.id), check.needs
    for repair in library.repairs.values():
        yield repair.place, ("repairs", repair.id), repair.needs
    for setup in library.setups.values():
        yield setup.place, ("dangers" if setup.danger else "setups", setup.id), setup.needs


def _closure(library: Library, setups: tuple[SetupId, ...]) -> set[SetupId]:
    seen: set[SetupId] = set()
    waiting = list(setups)
    while waiting and len(seen) < _MOST_SETUPS:
        setup = waiting.pop()
        if setup in library.setups and setup not in seen:
            seen.add(setup)
            waiting.extend(library.setups[setup].needs.setups)
    return seen


def check_houses(subject: ValidationContext) -> Iterator[Problem]:
    """House events that exclude one another one way only, and waits without words."""
    houses = subject.library.houses
    for house in houses.values():
        for other in house.excludes:
            if other in houses and house.id not in houses[other].excludes:
                message = f"`{house.id}` excludes `{other}`, but not the other way round"
                hint = f"add `{house.id}` to the `excludes:` of `{other}`"
                yield at(house.place, message, hint, "situation", house.id, "excludes", other)
        if house.wait is not None and not house.how:
            message = f"`{house.id}` can be waited for, and nothing says how"
            yield at(house.place, message, "add `how: ...`", "situation", house.id, "wait")


def check_answers(subject: ValidationContext) -> Iterator[Problem]:
    """Answers that would be taken for a word of the walk, or for one another."""
    for check in subject.library.checks.values():
        titles: set[str] = set()
        for finding in check.findings:
            trail = ("checks", check.id, "findings", finding.id)
            for word in sorted({finding.id, *finding.words} & WALK_WORDS):
                message = f"the answer `{word}` of `{check.id}` is a word of the walk itself"
                yield at(check.place, message, "give it another name", *trail)
            if finding.title.casefold() in titles:
                message = f"two findings of `{check.id}` read `{finding.title}`"
                yield at(check.place, message, "word them apart", *trail)
            titles.add(finding.title.casefold())


def check_sketches(subject: ValidationContext) -> Iterator[Problem]:
    """Sketches that do not fit beside the words on a phone."""
    for check in subject.library.checks.values():
        lines = check.sketch.splitlines()
        width = max((len(line) for line in lines), default=0)
        if width > SKETCH_WIDTH or len(lines) > SKETCH_HEIGHT:
            message = f"the sketch of `{check.id}` is {width} wide and {len(lines)} high"
            hint = f"make it at most {SKETCH_WIDTH} wide and {SKETCH_HEIGHT} high"
            yield at(check.place, message, hint, "checks", check.id, "sketch")


TWO_FAULTS_FROM = 4
"""The level from which on a lesson hides two faults."""


def check_lessons(subject: ValidationContext) -> Iterator[Problem]:
    """Faults that the lesson's machine cannot have, or that never bring its complaint about."""
    for lesson in subject.library.lessons.values():
        if lesson.level >= TWO_FAULTS_FROM and len(lesson.faults) < 2:
            message = f"`{lesson.id}` is of level {lesson.level} and names one fault"
            hint = f"name two or more, or write a level below {TWO_FAULTS_FROM}"
            yield at(lesson.place, message, hint, "lessons", lesson.id, "faults")
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
        yield at(lesson.place, message, hint, "lessons", lesson.id, "faults", fault)


def check_services(subject: ValidationContext) -> Iterator[Problem]:
    """Jobs of service for causes that no machine with them can have, or that wait longer than they take."""
    library = subject.library
    for service in library.services.values():
        yield from _too_much_waiting(service.place, ("service", service.id), service.needs)
        fitting = [machine for machine in subject.machines if machine.fits(service.needs.only_if)]
        for name in service.prevents:
            cause = library.causes.get(name)
            if cause is None or name in subject.spoken_of or not fitting:
                continue
            if not any(machine.fits(cause.only_if) for machine in fitting):
                message = f"`{service.id}` prevents `{name}`, which no machine with that job can have"
                hint = "mend its `only_if:`, or take the cause out"
                yield at(service.place, message, hint, "service", service.id, "prevents", name)
