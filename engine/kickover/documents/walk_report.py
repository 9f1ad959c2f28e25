"""What a walk found and did, as a value for a report: for a customer, a mechanic, or the drawer at home."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kickover.core.ids import CheckId, KitId, RepairId, SetupId
from kickover.documents.engine_drawing import MarkedDrawing, shown_on
from kickover.session.entries import Answered, Entry, Measured, Prepared, Proved, Repaired
from kickover.session.history import chances_over_time, entry_in_words, finding_in_words, moments
from kickover.session.journal import Record
from kickover.session.outcome import (
    LOCAL_RULES,
    cure_in_words,
    getting_home,
    limits_of,
    reasons_to_stop,
    standing_stops,
)
from kickover.session.restoring import Restored
from kickover.session.session import Session
from kickover.session.wording import (
    chance_in_words,
    changes_in_words,
    figures_in_words,
    minutes_in_words,
    percent,
    sentence,
)


@dataclass(frozen=True, slots=True)
class Found:
    """One answer: when, which check, what was found, and the limits that it was held against."""

    at: str
    check: str
    finding: str
    limits: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Curve:
    """One cause and its probability at the start and after each answer or failed repair."""

    title: str
    chances: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Report:
    """A whole walk. `about` are facts by name; `done` all other entries; `outcome` how it ended.

    `where` are the drawings with the places of the repairs made, or without any of the last answer.
    """

    title: str
    about: tuple[tuple[str, str], ...]
    stops: tuple[str, ...]
    outcome: tuple[str, ...]
    causes: tuple[str, ...]
    curves: tuple[Curve, ...]
    found: tuple[Found, ...]
    done: tuple[tuple[str, str], ...]
    where: tuple[MarkedDrawing, ...]
    cautions: tuple[str, ...]
    notes: tuple[str, ...]


def report_of(record: Record, walk: Restored) -> Report:
    """The report of a walk as its journal and the library have it."""
    session = walk.session
    times = {number: stamped.at for number, stamped in enumerate(record.entries)}
    rows = [
        (clock_in_words(times.get(number, "")), entry, before)
        for number, (entry, before, _) in enumerate(moments(session))
    ]
    return Report(
        title=f"Report of walk {record.heading.walk}",
        about=_about(record, session),
        stops=standing_stops(session),
        outcome=_outcome(session),
        causes=_causes(session),
        curves=tuple(
            Curve(session.library.title_of(cause), chances) for cause, chances in chances_over_time(session)
        ),
        found=tuple(
            _found(session, at, entry) for at, entry, _ in rows if isinstance(entry, Answered | Measured)
        ),
        done=tuple(
            (at, _done_in_words(session, entry))
            for at, entry, _ in rows
            if not isinstance(entry, Answered | Measured)
        ),
        where=_where(session, [entry for _, entry, _ in rows]),
        cautions=tuple(
            dict.fromkeys(caution for _, entry, before in rows for caution in _cautions(before, entry))
        ),
        notes=(*walk.notes, *changes_in_words(session.library), LOCAL_RULES),
    )


def set_apart(heights: Sequence[float], least: float) -> tuple[float, ...]:
    """Heights for labels, each near its own and at least `least` above the one below."""
    found = [0.0] * len(heights)
    below = float("-inf")
    for place in sorted(range(len(heights)), key=heights.__getitem__):
        below = max(heights[place], below + least)
        found[place] = below
    return tuple(found)


def clock_in_words(at: str) -> str:
    """The date and minute of a time stamp."""
    return at[:16].replace("T", " ")


def _about(record: Record, session: Session) -> tuple[tuple[str, str], ...]:
    heading, library = record.heading, session.library
    situation = "; ".join(library.houses[house].title for house in sorted(session.model.hypotheses.houses))
    last = record.entries[-1].at if record.entries else heading.started
    return (
        ("Machine", session.model.machine.title),
        ("Complaint", "; ".join(library.complaints[complaint].title for complaint in session.complaints)),
        ("Situation", situation or "nothing special"),
        ("Tools and spares", _kit(record, session)),
        ("Begun", clock_in_words(heading.started)),
        ("Last entry", clock_in_words(last)),
        ("Work, by the usual minutes", minutes_in_words(session.minutes)),
        ("Library", library.edition),
    )


def _kit(record: Record, session: Session) -> str:
    known = session.library.kits.get(KitId(record.heading.kit))
    return known.title if known is not None else record.heading.kit


def _done_in_words(session: Session, entry: Entry) -> str:
    """What was done, and the figures of the machine that a repair was finished to."""
    words = entry_in_words(session, entry)
    if not isinstance(entry, Repaired):
        return words
    figures = session.library.repairs[RepairId(entry.repair)].figures
    return " ".join((sentence(words), *figures_in_words(session.library, session.model.machine, figures)))


def _outcome(session: Session) -> tuple[str, ...]:
    if session.mended is not None:
        return ("It is cured, and the cure was proven.", *cure_in_words(session))
    if session.ended:
        return (
            "The walk ended without a confirmed repair.",
            *reasons_to_stop(session),
            *getting_home(session),
        )
    return ("The walk is still open.",)


def _causes(session: Session) -> tuple[str, ...]:
    lines = [
        f"{percent(ranked.probability)} {session.library.title_of(ranked.cause)} "
        f"({chance_in_words(ranked.probability)})"
        for ranked in session.belief.ranking()[:6]
        if ranked.probability >= 0.005
    ]
    return (*lines, f"{percent(session.belief.unlisted)} something that is not in the library")


def _found(session: Session, at: str, entry: Answered | Measured) -> Found:
    check = session.library.checks[CheckId(entry.check)]
    return Found(at, check.title, finding_in_words(session, entry), limits_of(session, check))


def _where(session: Session, entries: Sequence[Entry]) -> tuple[MarkedDrawing, ...]:
    library = session.library
    made = [library.repairs[RepairId(one.repair)].needs for one in entries if isinstance(one, Repaired)]
    answers = [one for one in entries if isinstance(one, Answered | Measured)]
    seen = [library.checks[CheckId(one.check)].needs for one in answers]
    placed = [needs for needs in made or seen if needs.shown_at]
    places = [place for needs in (placed if made else placed[-1:]) for place in needs.shown_at]
    return shown_on(library, session.model.machine, places)


def _cautions(before: Session, entry: Entry) -> tuple[str, ...]:
    """The cautions of the step that an entry answered."""
    library = before.library
    match entry:
        case Answered() | Measured():
            hazards = library.checks[CheckId(entry.check)].needs.hazards
        case Repaired(repair):
            hazards = library.repairs[RepairId(repair)].needs.hazards
        case Prepared(setup, _):
            hazards = library.setups[SetupId(setup)].needs.hazards
        case Proved():
            hazards = before.complaint.proof.hazards
        case _:
            hazards = ()
    return tuple(library.hazards[hazard].caution for hazard in hazards)
