"""From a walk to a closed case: one that was led and ended with a cure, or one written down by hand."""

from __future__ import annotations

from dataclasses import replace

from kickover.core.ids import CheckId
from kickover.inference.belief import Evidence
from kickover.learning.case import Case, CaseError, Confirmed, MeasuredFinding, Seen
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
    return replace(
        reported(session),
        id=heading.walk,
        date=(record.entries[-1].at or heading.started)[:10],
        machine=heading.machine,
        causes=tuple((cause,) for cause in causes),
        confirmed=Confirmed.REPAIR,
        repair=session.mended,
        minutes=session.minutes,
        library=heading.version,
    )


def reported(session: Session) -> Case:
    """What was reported and found in a walk, as a case yet without its id, date, machine and causes."""
    return Case(
        id="",
        date="",
        machine="",
        complaints=tuple(session.complaints),
        given=tuple(sorted(session.model.hypotheses.houses)),
        causes=(),
        seen=_seen(session),
        library=session.library.version,
    )


def _seen(session: Session) -> tuple[Seen, ...]:
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
