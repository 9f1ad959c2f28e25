"""What is on the screen of a drill: the drill, the page, and what is listed under which number."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from kickover.core.ids import EventId, SetupId
from kickover.training.assessment import Review
from kickover.training.exercise import Exercise
from kickover.training.practice import Practice
from kickover.training.workbench import PLACES, Offer, at_place, offers, safety_jobs, with_words


class DrillPage(StrEnum):
    """What is shown while a choice is waited for."""

    BENCH = "bench"
    PLACE = "place"
    FOUND = "found"
    WORK = "work"
    CAUSES = "causes"
    HELP = "help"


@dataclass(frozen=True, slots=True)
class DrillView:
    """A drill and what is on its screen.

    `place` or `said` tell which offers or causes are listed; `looked_back` is the review, once it was made.
    """

    exercise: Exercise
    practice: Practice
    page: DrillPage = DrillPage.BENCH
    place: str = ""
    said: str = ""
    message: str = ""
    looked_back: Review | None = None
    left: bool = False

    def places(self) -> tuple[str, ...]:
        """The places at which something can be done."""
        there = {offer.place for offer in offers(self.practice.session)}
        return tuple(place for place in PLACES if place in there)

    def listed(self) -> tuple[Offer, ...]:
        """The offers on the screen, in the order of their numbers."""
        if self.page is DrillPage.PLACE:
            return at_place(self.practice.session, self.place)
        return with_words(self.practice.session, self.said) if self.page is DrillPage.FOUND else ()

    def causes(self) -> tuple[EventId, ...]:
        """The causes on the screen, in the order of their numbers."""
        library = self.practice.session.library
        wanted = self.said.lower().replace("-", " ").split()
        found = [
            cause
            for cause in self.practice.candidates()
            if all(word in f"{cause} {library.title_of(cause)}".lower().replace("-", " ") for word in wanted)
        ]
        return tuple(sorted(found, key=library.title_of))

    def safety(self) -> tuple[SetupId, ...]:
        """The safety jobs, in the order of their numbers."""
        return safety_jobs(self.practice.session.library)
