"""What the bench offers: every check and repair that the machine and the kit allow, by place and by word."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from kickover.authoring.validate.safety import LOOKED_OVER
from kickover.core.ids import CheckId, RepairId, SetupId
from kickover.model.library import CheckKind, Library, Needs
from kickover.planning.job_state import Job, step_cost
from kickover.session.session import Session


class Kind(StrEnum):
    """What a learner can choose to do."""

    CHECK = "check"
    REPAIR = "repair"
    JOB = "job"


@dataclass(frozen=True, slots=True)
class Offer:
    """One thing on offer: where it is, its title, the minutes from here, and the words that find it."""

    kind: Kind
    id: str
    place: str
    title: str
    minutes: float
    words: str


OWNER = "owner"
SAFETY = "safety"
PLACES = {
    OWNER: "Ask the owner",
    "bars": "Bars, levers and the whole machine",
    "tank": "Tank, tap and hose",
    "carburettor": "Carburettor and air filter",
    "plug": "Plug and its lead",
    "cylinder": "Cylinder and crankcase",
    "flywheel": "Flywheel and what is under it",
    "electrics": "Wires, switches and battery",
    "exhaust": "Exhaust",
    "drive": "Clutch, chain and belt",
    "wheel": "Wheels",
    "frame": "Frame, mounts and fasteners",
    SAFETY: "Safety first",
}


def offers(session: Session) -> tuple[Offer, ...]:
    """Everything that can be done from here, checks before repairs, in the order of the library."""
    library, job = session.library, session.job
    found: list[Offer] = []
    for check in session.model.checks.values():
        taken = step_cost(library, job, check.needs)
        if taken is not None:
            place = OWNER if check.kind is CheckKind.QUESTION else check.needs.spot or "bars"
            words = f"{check.id} {check.title} {check.ask}"
            found.append(Offer(Kind.CHECK, check.id, place, check.title, taken.minutes, words.lower()))
    for repair in session.model.repairs.values():
        taken = step_cost(library, job, repair.needs)
        if taken is not None:
            place = repair.needs.spot or "bars"
            words = f"{repair.id} {repair.title}"
            found.append(Offer(Kind.REPAIR, repair.id, place, repair.title, taken.minutes, words.lower()))
    for setup in safety_jobs(library):
        title = job_title(library, setup)
        minutes = library.setups[setup].needs.minutes
        found.append(Offer(Kind.JOB, setup, SAFETY, title, minutes, f"{setup} {title} safe safety".lower()))
    return tuple(found)


def at_place(session: Session, place: str) -> tuple[Offer, ...]:
    """What is on offer at one place."""
    return tuple(offer for offer in offers(session) if offer.place == place)


def with_words(session: Session, said: str) -> tuple[Offer, ...]:
    """What is on offer whose title, question or id has every word of `said`."""
    wanted = said.lower().replace("-", " ").split()
    return tuple(
        offer
        for offer in offers(session)
        if wanted and all(word in offer.words.replace("-", " ") for word in wanted)
    )


def offered(session: Session, kind: Kind, id_: str) -> bool:
    """Tell whether something can be done from here with what is at hand."""
    match kind:
        case Kind.CHECK:
            check = session.model.checks.get(CheckId(id_))
            return check is not None and step_cost(session.library, session.job, check.needs) is not None
        case Kind.REPAIR:
            repair = session.model.repairs.get(RepairId(id_))
            return repair is not None and step_cost(session.library, session.job, repair.needs) is not None
        case Kind.JOB:
            return SetupId(id_) in safety_jobs(session.library)


@dataclass(frozen=True, slots=True)
class Danger:
    """A step that was about to be made too early: `setup` is what had to be done first."""

    setup: SetupId
    step: str
    why: str


def dangers_of(library: Library, job: Job, needs: Needs, step: str) -> tuple[Danger, ...]:
    """What makes a step with `needs` dangerous from here; nothing when it is not."""
    ahead = [one for one in needs.not_during if one in job.in_place]
    ahead += [setup for setup in needs.setups if setup == LOOKED_OVER and setup not in job.in_place]
    return tuple(Danger(fromkey, step, _why(library, fromkey)) for fromkey in dict.fromkeys(ahead))


def safety_jobs(library: Library) -> tuple[SetupId, ...]:
    """The jobs that a person must think of alone: ending each danger, and looking over the brakes."""
    return tuple(setup.id for setup in library.setups.values() if setup.danger or setup.id == LOOKED_OVER)


def job_title(library: Library, setup: SetupId) -> str:
    """A safety job as something that can be chosen."""
    known = library.setups[setup]
    if known.danger:
        return f"Make it safe first: {known.title[:1].lower()}{known.title[1:]}"
    return known.title.replace(" looked over", ": look them over")


def _why(library: Library, setup: SetupId) -> str:
    known = library.setups[setup]
    first = "has to be ended first" if known.danger else "comes first"
    cautions = [library.hazards[hazard].caution for hazard in known.needs.hazards[:1]]
    return " ".join([f"{known.title}: that {first}.", *cautions])
