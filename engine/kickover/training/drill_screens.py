"""The screens of a drill: bench, lists, what was done, proof, naming the cause, and the review."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace

from kickover.core.ids import CheckId, EventId
from kickover.model.library import Library
from kickover.planning.plan import StepKind
from kickover.session.outcome import LOCAL_RULES
from kickover.session.wording import lower_first, minutes_in_words, percent, step_title
from kickover.training.assessment import ChoiceVerdict, Review, Reviewed
from kickover.training.drill_view import DrillPage, DrillView
from kickover.training.practice import Deed, Practice, PracticeStage
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


def report(review: Review) -> Screen:
    """The whole review as one screen."""
    return Screen(
        heading=f"Review: {_verdict(review.practice)}",
        lead=_lead(review),
        body=tuple(_review_lines(review)),
        keys=(Choice("Enter", "finish"),),
        prompt="Finish with Enter",
    )


def _lead(review: Review) -> str:
    if not review.practice.cured:
        return "Not cured."
    if review.practice.dangers:
        return "Cured, with a dangerous choice: not yet mastered."
    if review.mastered:
        return "Cured, by good choices: mastered."
    return "Cured; not yet mastered."


def _verdict(practice: Practice) -> str:
    """What was wrong, and whether it was found."""
    library = practice.session.library
    wrong = " and ".join(library.title_of(cause).lower() for cause in practice.engine.causes)
    return f"it was {wrong}"


def _review_lines(review: Review) -> Iterator[str]:
    practice = review.practice
    library = practice.session.library
    yield from _named(practice, library)
    pushed = "" if practice.cured else " (giving up counts as being pushed home)"
    yield f"Expected at the start, by the best plan: {review.expected:.0f} minutes"
    yield f"Given away by your choices, as they stood when you made them: {review.given_away:.0f}"
    yield f"{'Bad' if review.luck >= 0 else 'Good'} luck: {abs(review.luck):.0f}"
    yield f"So your minutes: {review.minutes:.0f}{pushed}"
    yield f"The plan on this very engine: {review.planned:.0f}"
    yield f"Straight to the repair, for one who knows: {review.straight:.0f}"
    if practice.hints:
        yield f"Hints taken: {practice.hints}"
    dangers = practice.dangers
    if dangers:
        yield f"Dangerous choices: {len(dangers)}. On a real engine each could have hurt you:"
        for danger in dangers:
            yield f"   {danger.step}: {danger.why}"
    else:
        yield "Dangerous choices: none."
    yield "Your choices:"
    for number, choice in enumerate(review.choices, start=1):
        yield from _choice(number, choice, practice)
    yield "The way of the plan:"
    for move in review.planned_moves:
        yield f"   {move.title} ({minutes_in_words(move.minutes)}): {move.outcome[-1]}"
    yield LOCAL_RULES


def _named(practice: Practice, library: Library) -> Iterator[str]:
    for cause in practice.engine.causes:
        said = "you named it" if cause in practice.named else "you did not name it"
        about = library.causes[cause].about
        yield f"{library.title_of(cause)}: {said}. {about}".rstrip()
    for cause in practice.wrongly_named:
        yield f"You also named {library.title_of(cause).lower()}, which it was not."


def _choice(number: int, reviewed: Reviewed, practice: Practice) -> Iterator[str]:
    move, library = reviewed.move, practice.session.library
    spent = (
        minutes_in_words(move.minutes) if move.minutes else "stopped in time" if move.dangers else "no time"
    )
    yield f"{number}. {move.title} ({spent}): {_judged(reviewed)}"
    if move.deed is Deed.CHECK and reviewed.could:
        yield f"   It could have told: {_could(reviewed, library)}."
        yield f"   It showed: {move.outcome[-1]}" if not move.dangers else f"   {move.dangers[0].why}"
        if practice.engine.lied(CheckId(move.id)):
            yield "   The owner's answer was not true."
    elif move.dangers:
        yield f"   {move.dangers[0].why}"
    if (
        reviewed.best is not None
        and reviewed.best.id != move.id
        and reviewed.verdict is not ChoiceVerdict.GOOD
    ):
        yield f"   Better: {_better(reviewed, library)}"


def _judged(reviewed: Reviewed) -> str:
    match reviewed.verdict:
        case ChoiceVerdict.GOOD:
            best = reviewed.best is not None and reviewed.best.id == reviewed.move.id
            return "the best choice" if best else "a good choice"
        case ChoiceVerdict.SLOWER:
            return f"gave away about {minutes_in_words(reviewed.given_away)} against the best"
        case ChoiceVerdict.NEEDLESS if reviewed.move.deed is Deed.REPAIR:
            return "needless, nothing that was still likely is cured by it"
        case ChoiceVerdict.NEEDLESS:
            return "needless, it could tell nothing that still mattered"
        case ChoiceVerdict.DANGEROUS:
            return "DANGEROUS"
        case ChoiceVerdict.DONE:
            return "done"


def _could(reviewed: Reviewed, library: Library) -> str:
    check = reviewed.move.before.model.checks[CheckId(reviewed.move.id)]
    parts = []
    for finding, prospect in zip(check.findings, reviewed.could, strict=True):
        if prospect.probability < 0.02 or not prospect.leading:
            continue
        leader = prospect.leading[0]
        parts.append(
            f'"{finding.title}" in {percent(prospect.probability)}, then most likely '
            f"{_title(library, leader.cause)} with {percent(leader.probability)}"
        )
    return "; ".join(parts)


def _better(reviewed: Reviewed, library: Library) -> str:
    assert reviewed.best is not None
    best = reviewed.best
    title = step_title(library, best)
    spent = minutes_in_words(best.step_cost.minutes)
    if best.kind is StepKind.CHECK:
        names = _tells_apart(reviewed)
        why = " from ".join(_title(library, name) for name in names) if len(names) > 1 else ""
        reason = f"it tells {why}" if why else "it narrows down most for its minutes"
    elif best.kind is StepKind.REPAIR:
        share = reviewed.move.before.belief.cured_by(best.id)  # type: ignore[arg-type]
        reason = f"it cures it with {percent(share)} chance, and no check was worth its minutes first"
    else:
        reason = "nothing here was worth its minutes any more"
    return f"{title} ({spent}), since {reason}."


def _tells_apart(reviewed: Reviewed) -> tuple[EventId, ...]:
    """The leading cause after each finding of the better check, without repeats, two at most."""
    return tuple(
        dict.fromkeys(prospect.leading[0].cause for prospect in reviewed.better if prospect.leading)
    )[:2]


def _title(library: Library, cause: EventId) -> str:
    return lower_first(library.title_of(cause))
