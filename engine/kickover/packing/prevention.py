"""What to do beforehand: for every job of service, the breakdowns and minutes that it saves, by its money.

A job keeps away the stated share of the cases of each cause that it names. A case that is kept away saves
the minutes of the way home: the quickest repair with what is carried, or the price of giving up. Rates
are relative, so everything is counted in a hundred strandings of this machine.
"""

from __future__ import annotations

from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass

from kickover.core.ids import ItemId, ServiceId
from kickover.model.library import Library, Machine, Service
from kickover.packing.coverings import Covering

STRANDINGS = 100.0


@dataclass(frozen=True, slots=True)
class MinutesSaved:
    """One job: of a hundred strandings those that it saves, the minutes with them, its own minutes and money.

    `parts` are the spares that it puts in.
    """

    service: ServiceId
    breakdowns: float
    minutes_saved: float
    work_minutes: float
    money: float
    parts: tuple[ItemId, ...]

    @property
    def breakdowns_for_money(self) -> float:
        """Breakdowns saved for one unit of money; infinite when it costs nothing."""
        return self.breakdowns / self.money if self.money else float("inf")


def savings(
    library: Library, machine: Machine, coverings: Sequence[Covering], carried: AbstractSet[ItemId]
) -> tuple[MinutesSaved, ...]:
    """Every job that saves something on the machine: free ones, then most breakdowns for the money first."""
    by_cause = {covering.cause: covering for covering in coverings}
    found = []
    for service in services_for(library, machine):
        breakdowns = minutes = 0.0
        for cause, share in service.prevents.items():
            covering = by_cause.get(cause)
            if covering is None:
                continue
            cases = STRANDINGS * covering.share * (1.0 - library.settings.unlisted_share) * share
            way = covering.quickest(carried)
            breakdowns += cases
            minutes += cases * (way.minutes if way else library.settings.give_up_minutes)
        if breakdowns > 0.0:
            needs = service.needs
            work = needs.minutes - needs.waiting
            found.append(
                MinutesSaved(service.id, breakdowns, minutes, work, _money(library, service), needs.spares)
            )
    return tuple(sorted(found, key=lambda job: (-job.breakdowns_for_money, -job.breakdowns, job.service)))


def services_for(library: Library, machine: Machine) -> tuple[Service, ...]:
    """The jobs of service that fit a machine, in the order of the library."""
    return tuple(service for service in library.services.values() if machine.fits(service.needs.only_if))


def _money(library: Library, service: Service) -> float:
    """What a job costs: its price as stated, or else that of its parts."""
    return service.needs.price or sum(library.items[spare].price for spare in service.needs.spares)
