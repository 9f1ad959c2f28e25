"""The review of a drill in plain words."""

from __future__ import annotations

from collections.abc import Iterator

from kickover.core.ids import CheckId, EventId
from kickover.model.library import Library
from kickover.planning.plan import StepKind
from kickover.session.outcome import LOCAL_RULES
from kickover.session.wording import lower_first, minutes_in_words, percent, step_title
from kickover.training.assessment import ChoiceVerdict, Review, Reviewed
from kickover.training.practice import Deed, Practice
from kickover.ui.screen import Choice, Screen


def report(review: Review) -> Screen:
    """The whole review as one screen."""
    return Screen(
        heading=f"Review: {verdict(review.practice)}",
        lead=_lead(review),
        body=tuple(_lines(review)),
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


def verdict(practice: Practice) -> str:
    """What was wrong, and whether it was found."""
    library = practice.session.library
    wrong = " and ".join(library.title_of(cause).lower() for cause in practice.engine.causes)
    return f"it was {wrong}"


def _lines(review: Review) -> Iterator[str]:
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
