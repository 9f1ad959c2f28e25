"""Whether a machine may be ridden once the complaint is gone, and why not."""

from __future__ import annotations

from kickover.session.entries import Proved
from kickover.session.outcome import cure_in_words
from kickover.session.riding_bans import standing_stops, unsafe_causes
from kickover.session.session import Session
from kickover.session.wording import sentence


def forbids_riding(session: Session) -> tuple[str, ...]:
    """What forbids riding if the repair that is being proven has cured it; often nothing."""
    cured = session.record(Proved(True))
    found = [*standing_stops(cured)]
    found += [
        f"It may have this too: {sentence(cured.library.title_of(unsafe_cause))}"
        for unsafe_cause in unsafe_causes(cured)
    ]
    found += [line for line in cure_in_words(cured) if line.startswith("Do not ride")]
    return tuple(dict.fromkeys(found))


def lasting_repairs(session: Session) -> tuple[str, ...]:
    """The lasting repairs after a roadside one that has held, as the walk's last screen names them."""
    return tuple(
        line for line in cure_in_words(session.record(Proved(True))) if line.startswith("At the bench")
    )
