"""What the bench offers: every check and repair that the machine and the kit allow, by place and by word."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from kickover.authoring.validate.safety import LOOKED_OVER
from kickover.core.ids import SetupId
from kickover.model.library import Check, CheckKind, Library, Needs, Repair
from kickover.planning.job_state import Job, StepCost, proof_needs, step_cost
from kickover.session.session import Session
from kickover.session.wording import lower_first


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
    library, found = session.library, []

    def offer(kind: Kind, step: Check | Repair, place: str, words: str) -> None:
        taken = step_cost(library, session.job, step.needs)
        if taken is not None:
            found.append(Offer(kind, step.id, place, step.title, taken.minutes, words.lower()))

    for check in session.model.checks.values():
        place = OWNER if check.kind is CheckKind.QUESTION else check.needs.spot or "bars"
        offer(Kind.CHECK, check, place, f"{check.id} {check.title} {check.ask}")
    for repair in session.model.repairs.values():
        offer(Kind.REPAIR, repair, repair.needs.spot or "bars", f"{repair.id} {repair.title}")
    for setup in safety_jobs(library):
        title, minutes = job_title(library, setup), library.setups[setup].needs.minutes
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
    return any(offer.kind is kind and offer.id == id_ for offer in offers(session))


def proof_cost(session: Session, job: Job) -> StepCost | None:
    """What it takes to prove from the job state `job` that the complaint is gone; None where it cannot be."""
    return step_cost(session.library, job, proof_needs(session.library, job, session.complaint))


@dataclass(frozen=True, slots=True)
class Danger:
    """A step that was about to be made too early: `setup` is what had to be done first."""

    setup: SetupId
    step: str
    why: str


def dangers_of(library: Library, job: Job, needs: Needs, step: str) -> tuple[Danger, ...]:
    """What makes a step with `needs` dangerous from here; nothing when it is not."""
    ahead = [setup for setup in needs.not_during if setup in job.in_place]
    ahead += [setup for setup in needs.setups if setup == LOOKED_OVER and setup not in job.in_place]
    return tuple(Danger(fromkey, step, _why(library, fromkey)) for fromkey in dict.fromkeys(ahead))


def safety_jobs(library: Library) -> tuple[SetupId, ...]:
    """The jobs that a person must think of alone: ending each danger, and looking over the brakes."""
    return tuple(setup.id for setup in library.setups.values() if setup.danger or setup.id == LOOKED_OVER)


def job_title(library: Library, setup: SetupId) -> str:
    """A safety job as something that can be chosen."""
    known = library.setups[setup]
    if known.danger:
        return f"Make it safe first: {lower_first(known.title)}"
    return known.title.replace(" looked over", ": look them over")


def _why(library: Library, setup: SetupId) -> str:
    known = library.setups[setup]
    first = "has to be ended first" if known.danger else "comes first"
    cautions = [library.hazards[hazard].caution for hazard in known.needs.hazards[:1]]
    return " ".join([f"{known.title}: that {first}.", *cautions])
