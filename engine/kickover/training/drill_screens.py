"""The screens of a drill, but for its review: bench, lists, what was done, proof, and naming the cause."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from kickover.session.wording import minutes_in_words
from kickover.training.assessment_screens import report
from kickover.training.drill_view import DrillPage, DrillView
from kickover.training.practice import PracticeStage
from kickover.training.workbench import PLACES, Kind, Offer, job_title
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
    counts = _counts(view)
    choices = tuple(
        Choice(str(number), f"{PLACES[place]} ({counts[place]})")
        for number, place in enumerate(view.places(), start=1)
    )
    return Screen(
        heading=_heading(view),
        lead="What will you do?" if view.practice.moves else _opening(view),
        stops=view.practice.session.stops,
        body=(*_latest(view), *_status(view)),
        choices=choices,
        keys=BENCH_KEYS,
        prompt="Number, place, or word",
    )


def _counts(view: DrillView) -> Mapping[str, str]:
    counts = {}
    for place in view.places():
        kinds = [offer.kind for offer in _offers_at(view, place)]
        parts = [
            f"{number} {word if number == 1 else word + 's'}"
            for kind, word in ((Kind.CHECK, "check"), (Kind.REPAIR, "repair"), (Kind.JOB, "job"))
            if (number := kinds.count(kind))
        ]
        counts[place] = ", ".join(parts)
    return counts


def _offers_at(view: DrillView, place: str) -> tuple[Offer, ...]:
    return DrillView(view.exercise, view.practice, DrillPage.PLACE, place).listed()


def _opening(view: DrillView) -> str:
    session = view.practice.session
    return f'The owner says: "{session.complaint.title}." Find out why, and put it right.'


def _list(view: DrillView) -> Screen:
    offers = view.listed()
    choices = tuple(
        Choice(str(number), f"{_MARKS[offer.kind]}{offer.title} ({minutes_in_words(offer.minutes)})")
        for number, offer in enumerate(offers, start=1)
    )
    title = PLACES[view.place] if view.page is DrillPage.PLACE else f'On offer with "{view.said}"'
    return Screen(
        heading=_heading(view),
        lead=f"{title}: what will you do?",
        body=_status(view),
        choices=choices,
        keys=LIST_KEYS,
        prompt="Number, or Enter for the bench",
    )


_MARKS = {Kind.CHECK: "Check: ", Kind.REPAIR: "Repair: ", Kind.JOB: ""}


def _work(view: DrillView) -> Screen:
    body = []
    for number, move in enumerate(view.practice.moves, start=1):
        body.append(
            f"{number}. {move.title} ({minutes_in_words(move.minutes) if move.minutes else 'no time'})"
        )
        body += [f"   {line}" for line in move.outcome]
    return Screen(
        heading=_heading(view),
        lead="What was done so far" if body else "Nothing was done so far.",
        stops=view.practice.session.stops,
        body=tuple(body),
        keys=LIST_KEYS,
        prompt="Enter for the bench",
    )


def _causes(view: DrillView) -> Screen:
    library = view.practice.session.library
    choices = tuple(
        Choice(str(number), library.title_of(cause)) for number, cause in enumerate(view.causes(), start=1)
    )
    return Screen(
        heading=_heading(view),
        lead="Which is it? Naming one makes its quickest repair, and costs its minutes.",
        choices=choices,
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
    choices = [Choice("1", f"Try it now: {session.complaint.proof.ask}")]
    for number, setup in enumerate(view.safety(), start=2):
        choices.append(Choice(str(number), job_title(session.library, setup)))
    return Screen(
        heading=_heading(view),
        lead="The repair is made. What now?",
        stops=session.stops,
        body=(*_latest(view), *_status(view)),
        choices=tuple(choices),
        keys=(Choice("work", "what was done"), Choice("stop", "give up"), Choice("quit", "leave")),
        prompt="Number",
    )


def _naming(view: DrillView) -> Screen:
    library = view.practice.session.library
    choices = tuple(
        Choice(str(number), library.title_of(cause)) for number, cause in enumerate(view.causes(), start=1)
    )
    return Screen(
        heading=_heading(view),
        lead="It is cured. Which fault was it?",
        body=_latest(view),
        choices=choices,
        keys=(Choice("work", "what was done"), Choice("quit", "leave")),
        prompt="Number",
    )


def _ended(view: DrillView) -> Screen:
    lead = "It is cured." if view.practice.cured else "The drill has ended without a cure."
    return Screen(
        heading=_heading(view),
        lead=lead,
        body=(*_latest(view), "Next comes the review. Working it out takes a few seconds."),
        keys=(Choice("Enter", "the review"),),
        prompt="Enter for the review",
    )


def _heading(view: DrillView) -> str:
    spent = (
        minutes_in_words(view.practice.session.minutes) if view.practice.session.minutes else "no time yet"
    )
    level = view.exercise.level
    return f"Drill: {view.exercise.title}  (level {level.number}, {spent})"


def _latest(view: DrillView) -> tuple[str, ...]:
    if not view.practice.moves:
        goal = (f"Goal: {view.exercise.goal}",) if view.exercise.goal else ()
        level = view.exercise.level
        return (f"{view.exercise.machine.title}. Level {level.number}: {level.title}.", *goal)
    return view.practice.moves[-1].outcome


def _status(view: DrillView) -> tuple[str, ...]:
    library, job = view.practice.session.library, view.practice.session.job
    shown = [
        library.setups[one].title.lower()
        for one in sorted(job.in_place)
        if view.exercise.level.warns or not library.setups[one].danger
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
