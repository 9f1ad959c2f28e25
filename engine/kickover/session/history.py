"""Looking back over a walk: what each answer said, and which answers do not sit well together."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from math import log10

from kickover.core.ids import CheckId, EventId, SetupId
from kickover.inference import surprise
from kickover.inference.compiled_model import EngineState
from kickover.inference.repair_effect import Change
from kickover.planning.plan import StepKind
from kickover.session.entries import (
    Answer,
    Answered,
    Cannot,
    Chose,
    Entry,
    GaveUp,
    Measured,
    Noted,
    Prepared,
    Proved,
    PutOff,
    Repaired,
    Skipped,
    Waited,
)
from kickover.session.instrument import amount_in_words
from kickover.session.session import Session
from kickover.session.wording import lower_first, put_back_title, weight_in_words
from kickover.units import Quantity, show

DOUBT_LIMIT = 0.1
"""Found by simulation of 40 engines on the shipped library, riders' slips included: 7 honest walks are
doubted, and in 6 of those with the weightiest answer wrong it is named. Below 0.07 hardly any answer is
doubted, since the chance of a slip keeps each likelier than that; above 0.12 nearly twice as many
honest walks are."""

_MOST_DECIBANS = 60.0

PROOF_IN_WORDS: Mapping[Change | None, str] = {
    None: "Proof: not cured",
    Change.BETTER: "Proof: better, not yet right",
    Change.SAME: "Proof: still the same",
    Change.WORSE: "Proof: worse",
}


@dataclass(frozen=True, slots=True)
class Doubt:
    """An answer that sits badly with the others, and how likely they make it against a blind pick."""

    check: CheckId
    share: float


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
        case Answered() | Measured():
            return f"{library.checks[CheckId(entry.check)].title}: {finding_in_words(session, entry)}"
        case Skipped(step):
            return f"Skipped: {_title(session, step)}"
        case Cannot(step):
            return f"Cannot: {_title(session, step)}"
        case Chose(step):
            return f"Picked: {_title(session, step)}"
        case Prepared(setup, undone):
            return _prepared_in_words(session, SetupId(setup), undone)
        case Waited(event, told):
            return f"{'Told' if told else 'Waited'}: {_title(session, event)}"
        case Repaired(repair):
            return f"Repaired: {_title(session, repair)}"
        case Proved(gone, change):
            return "Proof: cured" if gone else PROOF_IN_WORDS[change]
        case PutOff():
            return "Proof put off until after another repair"
        case Noted(text):
            return f"Note: {text}"
        case GaveUp():
            return "Stopped without a confirmed repair"


def _prepared_in_words(session: Session, name: SetupId, undone: bool) -> str:
    setup = session.library.setups[name]
    if setup.danger:
        return f"Made safe: {lower_first(setup.title)}"
    return f"Done: {lower_first(put_back_title(setup) if undone else setup.title)}"


def finding_in_words(session: Session, entry: Answer) -> str:
    """A finding or a reading, and how sure it is where it is not."""
    sure = "" if entry.sureness == "sure" else f" ({entry.sureness.value})"
    if isinstance(entry, Measured):
        return f"{reading_in_words(session, entry)}{sure}"
    finding = session.library.checks[CheckId(entry.check)].finding(entry.finding)
    return f"{finding.title if finding else entry.finding}{sure}"


def reading_in_words(session: Session, entry: Measured) -> str:
    """A reading or a range with its unit."""
    reading = session.library.checks[CheckId(entry.check)].reading
    assert reading is not None
    span = show(Quantity(entry.low, reading.unit))
    if entry.low != entry.high:
        span = f"{span} to {show(Quantity(entry.high, reading.unit))}"
    if entry.error <= 0.0:
        return span
    return f"{span}, own instrument, give or take {amount_in_words(reading, entry.error)}"


def for_and_against(session: Session, causes: tuple[EventId, ...]) -> Mapping[EventId, tuple[str, ...]]:
    """For each cause, a line for each answer or failed repair that says something about it.

    The weight of an answer is the factor by which it changes the odds of the cause (Good 1950), all that
    was known before it given.
    """
    lines: dict[EventId, list[str]] = {cause: [] for cause in causes}
    for entry, before, after in moments(session):
        if not isinstance(entry, Answered | Measured | Proved):
            continue
        earlier, later = before.belief.marginals(), after.belief.marginals()
        for cause in causes:
            weight = _decibans(earlier.get(cause, 0.0), later.get(cause, 0.0))
            if abs(weight) >= 1.0:
                lines[cause].append(f"{entry_in_words(session, entry)}: {weight_in_words(weight)}")
    return {cause: tuple(found) for cause, found in lines.items()}


def _decibans(before: float, after: float) -> float:
    if before <= 0.0 or before >= 1.0:
        return 0.0
    if after <= 0.0 or after >= 1.0:
        return -_MOST_DECIBANS if after <= 0.0 else _MOST_DECIBANS
    ratio = after / (1.0 - after) * (1.0 - before) / before
    return max(-_MOST_DECIBANS, min(_MOST_DECIBANS, 10.0 * log10(ratio)))


def chances_over_time(session: Session, most: int = 4) -> tuple[tuple[EventId, tuple[float, ...]], ...]:
    """The probability of the likeliest causes at the start and after each entry that says something."""
    changed = [
        after for entry, _, after in moments(session) if isinstance(entry, Answered | Measured | Proved)
    ]
    repaired = session.library.repairs[session.mended].cures if session.mended is not None else ()
    ranked = session.belief.ranking()
    leading = [one.cause for one in ranked if one.probability >= 0.005 or one.cause in repaired][:most]
    tables = [session.at(0).belief.marginals(), *(one.belief.marginals() for one in changed)]
    return tuple((cause, tuple(table.get(cause, 0.0) for table in tables)) for cause in leading)


def doubtful(session: Session) -> Doubt | None:
    """The answer to repeat when the answers contradict each other, or None when they agree.

    Where the others make it less than `DOUBT_LIMIT` times as likely as a blind pick among its findings, a
    mistake is the better explanation.
    """
    doubts = least_fitting(session)
    return doubts[0] if doubts and doubts[0].share < DOUBT_LIMIT else None


def least_fitting(session: Session) -> tuple[Doubt, ...]:
    """The answers that all the others and the repairs that did not help make least likely, the least first.

    Answers that were made again already are left out, and those that are likelier than a blind pick. Of 94
    simulated walks that one wrong answer kept from the cure (six courses, road and bench), it stands first
    in 52 and among the first two in 66.
    """
    if len(session.evidence) < 2:
        return ()
    made = Counter(check for one, entries in session.asked for check in [one.check] * len(entries))
    doubts = [
        Doubt(one.check, chance * len(one.weights))
        for one, chance in surprise.fits(session.model, session.evidence, session.belief.attempts)
        if made[one.check] == 1 and chance * len(one.weights) < 1.0
    ]
    return tuple(sorted(doubts, key=lambda doubt: (doubt.share, doubt.check)))


def settling_check(session: Session, doubt: Doubt) -> CheckId | None:
    """Another check that tells best, for its minutes, whether the doubted answer was right."""
    odd = next(one for one in session.evidence if one.check == doubt.check)
    others = [one for one in session.evidence if one is not odd]
    minutes = {
        CheckId(option.id): option.minutes
        for option in session.plan().options
        if option.kind is StepKind.CHECK
    }
    now = EngineState(session.job.houses, session.belief.made)
    return surprise.settling_check(session.model, odd, others, session.belief.attempts, minutes, now)


def doubt_in_words(session: Session, doubt: Doubt) -> str:
    """What to say about an answer that sits badly with the others."""
    title = session.library.checks[doubt.check].title
    other = settling_check(session, doubt)
    words = f'The answers do not fit together well. If in doubt, make this one again: "{title}" (type again)'
    if other is None:
        return words
    return f'{words}, or settle it by another: "{session.library.checks[other].title}" (type settle)'


def _title(session: Session, name: str) -> str:
    library = session.library
    for group in (library.checks, library.repairs, library.setups, library.houses):
        if name in group:
            known = group[name]  # type: ignore[index]
            return str(known.title)
    return name
