"""The screens of a drill, but for its review: bench, lists, what was done, proof, and naming the cause."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

from kickover.session.wording import minutes_in_words
from kickover.training.assessment_screens import report
from kickover.training.drill_view import DrillPage, DrillView
from kickover.training.practice import PracticeStage
from kickover.training.workbench import PLACES, Kind, at_place, job_title
from kickover.ui.screen import Choice, Screen

BENCH_KEYS = (
    Choice("find WORD", "search checks and repairs"),
    Choice("name WORD", "name the cause"),
    Choice("work", "what was done"),
    Choice("safe", "safety jobs"),
    Choice("hint", "a hint"),
    Choice("stop", "give up"),
    Choice("help", "all words"),
    Choice("quit", "leave"),
)
LIST_KEYS = (Choice("Enter", "back to the bench"), Choice("find WORD", "search"), Choice("quit", "leave"))

WORDS = (
    ("2", "pick what has that number on the screen"),
    ("tank", "go to a place by its name"),
    ("find hose", "everything on offer with that word"),
    ("spark-at-own-plug", "make a check or a repair by its own name"),
    ("name", "the causes; name hose lists those with that word. Naming one makes its quickest repair"),
    ("safe", "look over the brakes, air out fuel vapour: nobody does that for you here"),
    ("work", "everything that was done, with what it showed"),
    ("goal", "what the lesson is about"),
    ("hint", "the next hint of the lesson; with a hint it does not count as mastered"),
    ("stop", "give up, and see what it was"),
    ("quit", "leave; with --learner the drill goes on from here next time"),
)


def page_of(view: DrillView) -> Screen:
    """The screen of a view."""
    match view.practice.stage:
        case PracticeStage.PROVE if view.page is DrillPage.BENCH:
            return _proof(view)
        case PracticeStage.NAME if view.page is DrillPage.BENCH:
            return _naming(view)
        case PracticeStage.OVER:
            return _ended(view) if view.looked_back is None else report(view.looked_back)
        case _:
            return _PAGES[view.page](view)


def _bench(view: DrillView) -> Screen:
    complaint = view.practice.session.complaint.title
    said = f'The owner says: "{complaint}." Find out why, and put it right.'
    return Screen(
        heading=_heading(view),
        lead="What will you do?" if view.practice.moves else said,
        stops=view.practice.session.stops,
        body=(*_latest(view), *_status(view)),
        choices=_numbered(f"{PLACES[place]} ({_count(view, place)})" for place in view.places()),
        keys=BENCH_KEYS,
        prompt="Number, place, or word",
    )


def _count(view: DrillView, place: str) -> str:
    kinds = Counter(offer.kind for offer in at_place(view.practice.session, place))
    words = ((Kind.CHECK, "check"), (Kind.REPAIR, "repair"), (Kind.JOB, "job"))
    return ", ".join(f"{kinds[kind]} {word}{'s' * (kinds[kind] > 1)}" for kind, word in words if kinds[kind])


def _list(view: DrillView) -> Screen:
    title = PLACES[view.place] if view.page is DrillPage.PLACE else f'On offer with "{view.said}"'
    return Screen(
        heading=_heading(view),
        lead=f"{title}: what will you do?",
        body=_status(view),
        choices=_numbered(
            f"{_MARKS[offer.kind]}{offer.title} ({minutes_in_words(offer.minutes)})"
            for offer in view.listed()
        ),
        keys=LIST_KEYS,
        prompt="Number, or Enter for the bench",
    )


_MARKS = {Kind.CHECK: "Check: ", Kind.REPAIR: "Repair: ", Kind.JOB: ""}


def _work(view: DrillView) -> Screen:
    body = []
    for number, move in enumerate(view.practice.moves, start=1):
        spent = minutes_in_words(move.minutes) if move.minutes else "no time"
        body += [f"{number}. {move.title} ({spent})", *(f"   {line}" for line in move.outcome)]
    return Screen(
        heading=_heading(view),
        lead="What was done so far" if body else "Nothing was done so far.",
        stops=view.practice.session.stops,
        body=tuple(body),
        keys=LIST_KEYS,
        prompt="Enter for the bench",
    )


def _causes(view: DrillView) -> Screen:
    return Screen(
        heading=_heading(view),
        lead="Which is it? Naming one makes its quickest repair, and costs its minutes.",
        choices=_numbered(map(view.practice.session.library.title_of, view.causes())),
        keys=LIST_KEYS,
        prompt="Number, or Enter for the bench",
    )


def _help(view: DrillView) -> Screen:
    return Screen(
        heading=_heading(view),
        lead="What can be typed",
        body=tuple(f"{word}: {meaning}" for word, meaning in WORDS),
        keys=LIST_KEYS,
        prompt="Enter for the bench",
    )


def _proof(view: DrillView) -> Screen:
    session = view.practice.session
    jobs = (job_title(session.library, setup) for setup in view.safety())
    return Screen(
        heading=_heading(view),
        lead="The repair is made. What now?",
        stops=session.stops,
        body=(*_latest(view), *_status(view)),
        choices=_numbered((f"Try it now: {session.complaint.proof.ask}", *jobs)),
        keys=(Choice("work", "what was done"), Choice("stop", "give up"), Choice("quit", "leave")),
        prompt="Number",
    )


def _naming(view: DrillView) -> Screen:
    return replace(
        _causes(view),
        lead="It is cured. Which fault was it?",
        body=_latest(view),
        keys=(Choice("work", "what was done"), Choice("quit", "leave")),
        prompt="Number",
    )


def _ended(view: DrillView) -> Screen:
    return Screen(
        heading=_heading(view),
        lead="It is cured." if view.practice.cured else "The drill has ended without a cure.",
        body=(*_latest(view), "Next comes the review. Working it out takes a few seconds."),
        keys=(Choice("Enter", "the review"),),
        prompt="Enter for the review",
    )


def _numbered(titles: Iterable[str]) -> tuple[Choice, ...]:
    return tuple(Choice(str(number), title) for number, title in enumerate(titles, start=1))


def _heading(view: DrillView) -> str:
    minutes = view.practice.session.minutes
    spent = minutes_in_words(minutes) if minutes else "no time yet"
    return f"Drill: {view.exercise.title}  (level {view.exercise.level.number}, {spent})"


def _latest(view: DrillView) -> tuple[str, ...]:
    if not view.practice.moves:
        goal = (f"Goal: {view.exercise.goal}",) if view.exercise.goal else ()
        level = view.exercise.level
        return (f"{view.exercise.machine.title}. Level {level.number}: {level.title}.", *goal)
    return view.practice.moves[-1].outcome


def _status(view: DrillView) -> tuple[str, ...]:
    library, job = view.practice.session.library, view.practice.session.job
    shown = [
        library.setups[setup].title.lower()
        for setup in sorted(job.in_place)
        if view.exercise.level.warns or not library.setups[setup].danger
    ]
    return (f"As it stands: {', '.join(shown)}.",) if shown else ()


_PAGES: Mapping[DrillPage, Callable[[DrillView], Screen]] = {
    DrillPage.BENCH: _bench,
    DrillPage.PLACE: _list,
    DrillPage.FOUND: _list,
    DrillPage.WORK: _work,
    DrillPage.CAUSES: _causes,
    DrillPage.HELP: _help,
}
