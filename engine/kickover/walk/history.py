"""Looking back over a walk: what each answer said, and which answers do not sit well together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import exp, log

from kickover.ids import CheckId, EventId
from kickover.quantity import Quantity, show
from kickover.reason.belief import Evidence, believe
from kickover.reason.explain import decibans
from kickover.walk.entries import (
    Answered,
    Cannot,
    Entry,
    GaveUp,
    Measured,
    Noted,
    Prepared,
    Proved,
    Repaired,
    Skipped,
    Waited,
)
from kickover.walk.session import Session
from kickover.walk.wording import percent, weight_in_words

CONFLICT_LIMIT = 12.0
"""Answers that are this many times less likely together than each by itself are pointed out (estimate)."""

_TINY = 1e-300


@dataclass(frozen=True, slots=True)
class Doubt:
    """An answer that sits badly with the others, and how many times likelier they are without it."""

    check: CheckId
    factor: float


def moments(session: Session) -> tuple[tuple[Entry, Session, Session], ...]:
    """Each entry with the walk before and after it, oldest first."""
    found = []
    after = session
    while after.before is not None:
        found.append((after.entries[-1], after.before, after))
        after = after.before
    return tuple(reversed(found))


def entry_in_words(session: Session, entry: Entry) -> str:
    """What was recorded, as a person would say it."""
    library = session.library
    match entry:
        case Answered():
            check = library.checks[CheckId(entry.check)]
            finding = check.finding(entry.finding)
            sure = "" if entry.sureness == "sure" else f" ({entry.sureness.value})"
            return f"{check.title}: {finding.title if finding else entry.finding}{sure}"
        case Measured():
            check = library.checks[CheckId(entry.check)]
            return f"{check.title}: {reading_in_words(session, entry)}"
        case Skipped(step):
            return f"Skipped: {_title(session, step)}"
        case Cannot(step):
            return f"Cannot: {_title(session, step)}"
        case Prepared(setup, undone):
            return f"{'Undone' if undone else 'Done'}: {_title(session, setup)}"
        case Waited(event):
            return f"Now: {_title(session, event)}"
        case Repaired(repair):
            return f"Repaired: {_title(session, repair)}"
        case Proved(gone):
            return "Proof: cured" if gone else "Proof: still the same"
        case Noted(text):
            return f"Note: {text}"
        case GaveUp():
            return "Stopped without a confirmed repair"


def reading_in_words(session: Session, entry: Measured) -> str:
    """A reading or a range with its unit."""
    reading = session.library.checks[CheckId(entry.check)].reading
    assert reading is not None
    low = show(Quantity(entry.low, reading.unit))
    return low if entry.low == entry.high else f"{low} to {show(Quantity(entry.high, reading.unit))}"


def for_and_against(session: Session, cause: EventId) -> Iterator[str]:
    """One line for each answer that says something about `cause`, in words and decibans."""
    for entry, before, after in moments(session):
        if not isinstance(entry, Answered | Measured):
            continue
        weight = decibans(before.belief, after.evidence[-1], cause)
        if abs(weight) >= 1.0:
            yield f"{entry_in_words(session, entry)}: {weight_in_words(weight)} ({weight:+.0f} dB)"


def chances_over_time(session: Session, most: int = 4) -> tuple[tuple[EventId, tuple[float, ...]], ...]:
    """The probability of the likeliest causes from the start to now, one number a moment."""
    walks = [before for _, before, _ in moments(session)] + [session]
    leading = [one.cause for one in session.belief.ranking()[:most]]
    tables = [walk.belief.marginals() for walk in walks]
    return tuple((cause, tuple(table.get(cause, 0.0) for table in tables)) for cause in leading)


def doubtful(session: Session) -> Doubt | None:
    """The answer to repeat when the answers contradict each other, or None when they agree.

    They contradict when they are together far less likely than they would be independently (the conflict
    measure of Jensen 1991); the one to repeat is the one without which that changes the most.
    """
    evidence = session.evidence
    if len(evidence) < 2:
        return None
    whole = _conflict(session, evidence)
    if whole < log(CONFLICT_LIMIT):
        return None
    rest = [_conflict(session, evidence[:place] + evidence[place + 1 :]) for place in range(len(evidence))]
    place = min(range(len(evidence)), key=rest.__getitem__)
    return Doubt(evidence[place].check, exp(whole - rest[place]))


def _conflict(session: Session, evidence: tuple[Evidence, ...]) -> float:
    prior = believe(session.model, ())
    apart = sum(log(max(prior.after(one).surprise, _TINY)) for one in evidence)
    together = 0.0
    belief = prior
    for one in evidence:
        belief = belief.after(one)
        together += log(max(belief.surprise, _TINY))
    return apart - together


def doubt_in_words(session: Session, doubt: Doubt) -> str:
    """What to say about an answer that sits badly with the others."""
    title = session.library.checks[doubt.check].title
    return (
        "The answers do not fit together well. "
        f'If in doubt, make this one again: "{title}" (type: again {doubt.check})'
    )


def _title(session: Session, name: str) -> str:
    library = session.library
    for group in (library.checks, library.repairs, library.setups, library.houses):
        if name in group:
            known = group[name]  # type: ignore[index]
            return str(known.title)
    return name


def likely_lines(session: Session, most: int = 5) -> tuple[str, ...]:
    """The likeliest causes, each with what speaks for and against it."""
    lines = []
    for number, one in enumerate(session.belief.ranking()[:most], start=1):
        if one.probability < 0.005:
            break
        lines.append(f"{number}. {percent(one.probability)}  {session.library.title_of(one.cause)}")
        lines += [f"     {line}" for line in for_and_against(session, one.cause)]
    lines.append(f"   {percent(session.belief.unlisted)}  something that is not in the library")
    return tuple(lines)
