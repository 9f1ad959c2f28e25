"""When the machine must not be ridden: findings that say stop, and causes with which nobody rides."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from kickover.core.ids import EventId, SetupId
from kickover.inference.belief import Belief, Evidence
from kickover.planning.build_problem import lines_of
from kickover.session.entries import Cannot
from kickover.session.session import Session

STILL_SEEN = 0.2
"""A stop stands while its finding would be seen again with at least this chance (a safe estimate)."""
LIKELY_UNSAFE = 0.1
"""A cause that forbids riding counts from this chance on (estimate)."""
ROAD = "road"


def standing_stops(session: Session) -> tuple[str, ...]:
    """The words of each stop that was found and that no repair since should have put right."""
    made = session.mended or session.proving
    mended = frozenset(session.library.repairs[made].cures) if made is not None else frozenset()
    found = []
    for evidence, _ in session.asked:
        stop = session.library.checks[evidence.check].findings[evidence.seen].stop
        if stop and _seen_again(session, evidence, mended) >= STILL_SEEN:
            found.append(stop)
    return tuple(dict.fromkeys(found))


def unsafe_causes(session: Session) -> tuple[EventId, ...]:
    """The causes that are likely enough and with which the machine must not be ridden."""
    mended = session.library.repairs[session.mended].cures if session.mended is not None else ()
    return tuple(
        ranked.cause
        for ranked in _before_proof(session).ranking()
        if ranked.probability >= LIKELY_UNSAFE
        and not session.library.causes[ranked.cause].ride
        and ranked.cause not in mended
    )


def look_over_failed(session: Session) -> bool:
    """True when the look-over before a road test could not be made, or showed something wrong."""
    setups = session.library.setups
    return any(
        isinstance(entry, Cannot)
        and SetupId(entry.step) in setups
        and ROAD in setups[SetupId(entry.step)].needs.hazards
        for entry in session.entries
    )


def must_not_ride(session: Session) -> bool:
    """Tell whether the machine must not be ridden as it is, for all that is known."""
    return bool(standing_stops(session) or unsafe_causes(session) or look_over_failed(session))


def _seen_again(session: Session, evidence: Evidence, mended: frozenset[EventId]) -> float:
    model = session.model
    gone = np.array([cause in mended for cause in model.hypotheses.structure.causes] + [False])
    members = model.hypotheses.members
    left = replace(model.hypotheses, members=np.where(gone[members], -1, members))
    lines = lines_of(left, [model.checks[evidence.check]], [evidence.state.houses])[0]
    likelihood = model.chances[evidence.check][evidence.seen, lines]
    return float(_before_proof(session).posterior @ likelihood)


def _before_proof(session: Session) -> Belief:
    """The belief before the cure was proven: a crack that was seen is still a crack once it runs."""
    while session.mended is not None and session.before is not None:
        session = session.before
    return session.belief
