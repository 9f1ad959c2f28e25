"""Choices that would hurt: a spark while fuel vapour is about, the road before the brakes were looked over.

What is dangerous is said by the model (`not_during`, and the look that must come before a ride); this module
only tells when a learner walks into it, and in the words of the library's own cautions.
"""

from __future__ import annotations

from dataclasses import dataclass

from kickover.ids import SetupId
from kickover.library.model import Library, Needs
from kickover.library.review_safety import LOOKED_OVER
from kickover.reason.job import Job


@dataclass(frozen=True, slots=True)
class Danger:
    """A step that was about to be made too early: `setup` is what had to be done first."""

    setup: SetupId
    step: str
    why: str


def dangers_of(library: Library, job: Job, needs: Needs, step: str) -> tuple[Danger, ...]:
    """What makes a step with `needs` dangerous from here; nothing when it is not."""
    ahead = [one for one in needs.not_during if one in job.in_place]
    ahead += [one for one in needs.setups if one == LOOKED_OVER and one not in job.in_place]
    return tuple(Danger(one, step, _why(library, one)) for one in dict.fromkeys(ahead))


def safety_jobs(library: Library) -> tuple[SetupId, ...]:
    """The jobs that a person must think of alone: ending each danger, and looking over the brakes."""
    return tuple(one.id for one in library.setups.values() if one.danger or one.id == LOOKED_OVER)


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
