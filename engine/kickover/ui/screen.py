"""What one screen of the walk says, as a value: nothing here knows a terminal, a width or a colour."""

from __future__ import annotations

from dataclasses import dataclass

from kickover.session.entries import Answered, Measured, Noted, Proved
from kickover.session.outcome import items_in_words
from kickover.session.session import Session, Task, needs_of
from kickover.session.wording import minutes_in_words, percent


@dataclass(frozen=True, slots=True)
class Choice:
    """One thing that can be picked, by its number or its words."""

    key: str
    label: str


@dataclass(frozen=True, slots=True)
class Bar:
    """A likely cause beside the question: its share from 0 to 1, its title, and how the last answer moved it.

    `moved` is a difference of shares, None before the first answer.
    """

    share: float
    title: str
    moved: float | None = None


@dataclass(frozen=True, slots=True)
class Screen:
    """One screen, top to bottom. Empty parts are not shown.

    `keys` are the words that work now, with what they do; `aside` stands beside the rest where there is
    room.
    """

    heading: str
    lead: str
    stops: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    body: tuple[str, ...] = ()
    how: tuple[str, ...] = ()
    sketch: tuple[str, ...] = ()
    choices: tuple[Choice, ...] = ()
    facts: tuple[str, ...] = ()
    keys: tuple[Choice, ...] = ()
    prompt: str = "Answer"
    aside: tuple[Bar, ...] = ()


STEP_KEYS = (
    Choice("why", "why this"),
    Choice("likely", "likely causes"),
    Choice("back", "go back"),
    Choice("skip", "not now"),
    Choice("cannot", "cannot do it"),
    Choice("other", "another step"),
    Choice("help", "all words"),
    Choice("quit", "stop, saved"),
)


def bars(session: Session, most: int = 6) -> tuple[Bar, ...]:
    """The likeliest causes for the side of the screen, each with what the last answer changed."""
    before = _before_last_answer(session)
    earlier = before.belief.marginals() if before is not None else None
    shown = []
    for ranked in session.belief.ranking()[:most]:
        if ranked.probability >= 0.005:
            moved = None if earlier is None else ranked.probability - earlier.get(ranked.cause, 0.0)
            shown.append(Bar(ranked.probability, session.library.title_of(ranked.cause), moved))
    unlisted = session.belief.unlisted
    moved = None if before is None else unlisted - before.belief.unlisted
    return (*shown, Bar(unlisted, "Something not listed here", moved))


def _before_last_answer(session: Session) -> Session | None:
    while session.before is not None:
        if isinstance(session.entries[-1], Answered | Measured | Proved):
            return session.before
        session = session.before
    return None


def cautions_of(session: Session, task: Task) -> tuple[str, ...]:
    """The cautions of what is asked now: one for each of its hazards, in the words of the library."""
    hazards = needs_of(session, task).hazards
    return tuple(session.library.hazards[hazard].caution for hazard in hazards)


def facts_of(session: Session, task: Task) -> tuple[str, ...]:
    """How long a step takes and what it needs, in words."""
    needs = needs_of(session, task)
    wanted = (*needs.tools, *needs.spares)
    taken = f"About {minutes_in_words(task.minutes)}."
    return (taken, f"Needs: {items_in_words(session, wanted)}.") if wanted else (taken,)


def progress(session: Session, title: str) -> str:
    """A heading: the title, how far the walk is, and its best guess."""
    asked = sum(not isinstance(entry, Noted) for entry in session.entries)
    spent = f", {minutes_in_words(session.minutes)} so far" if session.minutes >= 0.75 else ""
    leading = session.belief.ranking()[:1]
    fit = percent(leading[0].probability) if leading and asked else ""
    return f"{title}  (step {asked + 1}{spent}{', best guess ' + fit if fit else ''})"
