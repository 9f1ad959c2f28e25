"""What one screen of the walk says, as a value: nothing here knows a terminal, a width or a colour."""

from __future__ import annotations

from dataclasses import dataclass

from kickover.core.ids import CheckId, HazardId, RepairId, SetupId
from kickover.session.entries import Answered, Entry, Measured, Noted, Prepared, Proved, Repaired
from kickover.session.history import moments
from kickover.session.outcome import items_in_words
from kickover.session.session import Session, Task, needs_of
from kickover.session.wording import lower_first, sentence


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
class Table:
    """Rows with a title each, and short cells under short heads."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Screen:
    """One screen, top to bottom. Empty parts are not shown.

    `reminder` names cautions that were shown in full before; `keys` are the words that work now, with what
    they do; `aside` stands beside the rest where there is room; with `at_once` a digit picks without Enter.
    """

    heading: str
    lead: str
    stops: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    reminder: str = ""
    body: tuple[str, ...] = ()
    how: tuple[str, ...] = ()
    sketch: tuple[str, ...] = ()
    facts: tuple[str, ...] = ()
    shares: tuple[Bar, ...] = ()
    table: Table | None = None
    choices: tuple[Choice, ...] = ()
    keys: tuple[Choice, ...] = ()
    prompt: str = "Answer"
    aside: tuple[Bar, ...] = ()
    at_once: bool = False


STEP_KEYS = (
    Choice("why", "why this"),
    Choice("back", "go back"),
    Choice("skip", "not now"),
    Choice("help", "all words"),
)
"""The words shown at each step; help lists the others, so that there is less to read each time."""

RETURN = (Choice("Enter", "go on"), Choice("quit", "stop, saved"))
CAUTION_KEY = Choice("caution", "in full")


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
    """The cautions of what is asked now in full: one for each of its hazards, in the words of the library."""
    return tuple(session.library.hazards[hazard].caution for hazard in needs_of(session, task).hazards)


def new_cautions(session: Session, task: Task) -> tuple[tuple[str, ...], str]:
    """The cautions that are new at this step in full, and one line that names those told before."""
    told = _told_hazards(session)
    hazards = needs_of(session, task).hazards
    known = session.library.hazards
    fresh = tuple(known[hazard].caution for hazard in hazards if hazard not in told)
    again = [lower_first(known[hazard].title) for hazard in hazards if hazard in told]
    return fresh, f"Mind: {', '.join(again)}." if again else ""


def _told_hazards(session: Session) -> frozenset[HazardId]:
    """The hazards whose cautions earlier steps showed, but for those of a danger that came up since."""
    told: frozenset[HazardId] = frozenset()
    setups = session.library.setups
    for entry, before, after in moments(session):
        told |= frozenset(_hazards_of(before, entry))
        for arisen in after.job.in_place - before.job.in_place:
            if setups[arisen].danger:
                told -= frozenset(setups[arisen].needs.hazards)
    return told


def _hazards_of(session: Session, entry: Entry) -> tuple[HazardId, ...]:
    """The hazards of the step that an entry records as done or seen."""
    library = session.library
    match entry:
        case Answered() | Measured():
            return library.checks[CheckId(entry.check)].needs.hazards
        case Prepared(setup):
            return library.setups[SetupId(setup)].needs.hazards
        case Repaired(repair):
            return library.repairs[RepairId(repair)].needs.hazards
        case Proved():
            return session.complaint.proof.hazards
        case _:
            return ()


def facts_of(session: Session, task: Task) -> tuple[str, ...]:
    """What a step needs, in words."""
    needs = needs_of(session, task)
    wanted = (*needs.tools, *needs.spares)
    return (f"Needs: {items_in_words(session, wanted)}.",) if wanted else ()


def waiting_of(session: Session, task: Task) -> float:
    """How many of the minutes of a task pass with idle hands."""
    preparation = task.preparation
    if preparation is None or preparation.setup is None:
        return needs_of(session, task).waiting if preparation is None else task.minutes
    setup = session.library.setups[preparation.setup]
    return 0.0 if preparation.undo and not setup.danger else setup.needs.waiting


def progress(session: Session, title: str, minutes: float | None = None, waiting: float = 0.0) -> str:
    """A heading: the title, which step of the walk it is, how long it takes and how long it waits."""
    asked = sum(not isinstance(entry, Noted) for entry in session.entries)
    taken = "" if minutes is None or minutes < 1.5 else f", {minutes:.0f}\u00a0min"
    if taken and waiting >= 0.75:
        taken += f", {waiting:.0f} of them waiting"
    step = f"step\u00a0{asked + 1}{taken}"
    return f"{title} ({step})" if title else sentence(step)
