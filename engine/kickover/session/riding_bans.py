"""When the machine must not be ridden: findings that say stop, and causes with which nobody rides."""

from __future__ import annotations

import numpy as np

from kickover.core.ids import EventId, SetupId
from kickover.inference.belief import Belief, Evidence
from kickover.inference.compiled_model import EngineState
from kickover.session.entries import Cannot
from kickover.session.session import Session

STILL_SEEN = 0.2
"""A stop stands while its finding would be seen again with at least this chance (a safe estimate)."""
LIKELY_UNSAFE = 0.1
"""A cause that forbids riding counts from this chance on (estimate)."""
ROAD = "road"


def standing_stops(session: Session) -> tuple[str, ...]:
    """The words of each stop that was found and that no repair since should have put right."""
    cured = session.belief.cured
    made = session.mended or session.proving
    if made is not None:
        cured = cured | frozenset(session.library.repairs[made].cures)
    found = []
    for evidence, _ in session.asked:
        stop = session.library.checks[evidence.check].findings[evidence.seen].stop
        if stop and _seen_again(session, evidence, cured) >= STILL_SEEN:
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


def _seen_again(session: Session, evidence: Evidence, cured: frozenset[EventId]) -> float:
    model = session.model
    state = EngineState(evidence.state.houses, cured)
    weights = [1.0 if other == evidence.seen else 0.0 for other in range(len(evidence.weights))]
    likelihood = model.likelihood(evidence.check, weights, state)
    return float(np.dot(_before_proof(session).posterior, likelihood))


def _before_proof(session: Session) -> Belief:
    """The belief before the cure was proven: a crack that was seen is still a crack once it runs."""
    while session.mended is not None and session.before is not None:
        session = session.before
    return session.belief
