"""From a walk to a closed case: one that was led and ended with a cure, or one written down by hand."""

from __future__ import annotations

from dataclasses import replace

from kickover.core.ids import CheckId
from kickover.inference.belief import Evidence
from kickover.learning.case import Case, CaseError, CauseSet, Confirmed, MeasuredFinding, Seen
from kickover.session import entries
from kickover.session.journal import Record
from kickover.session.outcome import confirmed_causes
from kickover.session.session import Session

CURED = "mended"
_DIGITS = 6
"""Weights are kept to so many decimals."""


def case_of_walk(record: Record, session: Session) -> Case:
    """The case of a walk that has ended with a cure.

    `session` is the walk as it is restored with the library as it is now. The causes are those that the last
    repair cures and the answers leave likely. Raises CaseError when the walk has not ended so, or when the
    library does not explain its end.
    """
    heading = record.heading
    if record.closed != CURED:
        state = f"ended as {record.closed}" if record.closed else "has not ended"
        raise CaseError(f"walk {heading.walk}: it {state}; only a walk that ended with a cure is a case")
    causes = confirmed_causes(session) if session.mended is not None else ()
    if session.mended is None or not causes:
        raise CaseError(f"walk {heading.walk}: the library does not explain its cure; add the case by hand")
    case = case_by_hand(
        session,
        id_=heading.walk,
        date=(record.entries[-1].at or heading.started)[:10],
        machine=heading.machine,
        causes=tuple((cause,) for cause in causes),
        confirmed=Confirmed.REPAIR,
        repair=session.mended,
        minutes=session.minutes,
    )
    return replace(case, library=heading.version)


def case_by_hand(
    session: Session,
    *,
    id_: str,
    date: str,
    machine: str,
    causes: tuple[CauseSet, ...],
    confirmed: Confirmed,
    repair: str,
    minutes: float | None,
) -> Case:
    """The case of a walk that nobody was led through: `session` holds what was reported and found.

    `machine` is how the machine can be found again: its id, or its file.
    """
    return Case(
        id=id_,
        date=date,
        machine=machine,
        complaints=tuple(session.complaints),
        given=tuple(sorted(session.model.hypotheses.houses)),
        causes=causes,
        confirmed=confirmed,
        repair=repair,
        seen=seen_in(session),
        minutes=minutes,
        library=session.library.version,
    )


def seen_in(session: Session) -> tuple[Seen, ...]:
    """What was found in a walk, repeats of a check already taken together."""
    given = session.model.hypotheses.houses
    found = []
    for evidence in session.evidence:
        seen = Seen(evidence.check, _weights(session, evidence), _measured(session, evidence.check))
        if evidence.state.houses != given:
            seen = replace(seen, state=tuple(sorted(evidence.state.houses)))
        found.append(seen)
    return tuple(found)


def _weights(session: Session, evidence: Evidence) -> tuple[tuple[str, float], ...]:
    findings = session.model.checks[evidence.check].findings
    rounded = (round(weight, _DIGITS) for weight in evidence.weights)
    return tuple(
        (finding.id, weight) for finding, weight in zip(findings, rounded, strict=True) if weight > 0.0
    )


def _measured(session: Session, check: CheckId) -> MeasuredFinding | None:
    """The latest reading of `check`, in its unit."""
    reading = session.model.checks[check].reading
    for entry in reversed(session.entries):
        if reading is not None and isinstance(entry, entries.Measured) and entry.check == check:
            return MeasuredFinding(entry.low, entry.high, reading.unit)
    return None
