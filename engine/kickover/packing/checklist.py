"""The service of one machine as a list to tick off: before every ride, then by hours, with its own figures.

Made from the library's service and from the prevention notes of causes and repairs. A figure that the
machine does not state is marked as assumed.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from kickover.core.ids import EventId, FigureId, HazardId, ServiceId
from kickover.formulas import compute
from kickover.model.library import Library, Machine, Service
from kickover.model.limits import LimitError, figure_of
from kickover.packing.prevention import services_for
from kickover.packing.strandings import Stranding, strandings
from kickover.planning.job_state import Job, step_cost
from kickover.units import Quantity, dimension_of, show

PREMIX = FigureId("premix-ratio")
TORQUE_UNIT = "N·m"
NOTES = 24
KEPT_AWAY = 4
LEAST_SHARE = 0.2


@dataclass(frozen=True, slots=True)
class ServiceTask:
    """One line to tick off, with all that is needed to do it. `keeps` are faults that it keeps away."""

    title: str
    how: tuple[str, ...]
    figures: tuple[str, ...]
    locking: str
    minutes: float
    waiting: float
    items: tuple[str, ...]
    keeps: tuple[str, ...]
    notes: tuple[str, ...]
    hazards: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ChecklistPart:
    """The tasks that are due together."""

    title: str
    tasks: tuple[ServiceTask, ...]


@dataclass(frozen=True, slots=True)
class TaskCaution:
    """A hazard of the tasks, and its caution in the library's words."""

    title: str
    words: str


@dataclass(frozen=True, slots=True)
class Checklist:
    """The whole list. `torques` are all tightening figures; `notes` are habits beside the tasks."""

    machine: str
    library: str
    parts: tuple[ChecklistPart, ...]
    torques: tuple[tuple[str, str], ...]
    notes: tuple[tuple[str, str], ...]
    cautions: tuple[TaskCaution, ...]


def checklist(library: Library, machine: Machine, only: Collection[ServiceId] | None = None) -> Checklist:
    """The checklist of a machine, or of the jobs `only`.

    Raises LimitError when a figure of a task has no value on it.
    """
    shares = {stranding.cause: stranding for stranding in strandings(library, machine)}
    services = [service for service in services_for(library, machine) if only is None or service.id in only]
    due: dict[str, list[Service]] = {}
    for service in sorted(services, key=lambda service: (service.hours, service.once)):
        due.setdefault(_due(service), []).append(service)
    parts = tuple(
        ChecklistPart(title, tuple(_task(library, machine, service, shares) for service in group))
        for title, group in due.items()
    )
    told = {cause for job in services for cause, share in job.prevents.items() if share >= LEAST_SHARE}
    hazards = dict.fromkeys(hazard for service in services for hazard in service.needs.hazards)
    return Checklist(
        machine=machine.title,
        library=f"{library.title} {library.version}{library.changes}",
        parts=parts,
        torques=_torques(library, machine),
        notes=_notes(library, shares.values(), told),
        cautions=_cautions(library, hazards),
    )


def _due(service: Service) -> str:
    hours = _running_time(service.hours)
    if service.once:
        when = f"{hours} after it was built or taken apart" if service.hours else "before its first ride"
        return f"Once, {when}"
    if not service.hours:
        return "Before every ride"
    if not service.months:
        return f"Every {hours}"
    months = "month" if service.months == 1 else f"{service.months:g} months"
    return f"Every {hours} or {months}, whichever comes first"


def _running_time(hours: float) -> str:
    if hours < 1:
        return f"{60 * hours:.0f} minutes"
    return "one hour" if hours == 1 else f"{hours:g} hours"


def _task(
    library: Library, machine: Machine, service: Service, shares: Mapping[EventId, Stranding]
) -> ServiceTask:
    taken = step_cost(library, Job(frozenset()), service.needs)
    causes = sorted(
        (
            cause
            for cause in service.prevents
            if cause in shares and machine.fits(library.causes[cause].only_if)
        ),
        key=lambda cause: (-service.prevents[cause] * shares[cause].share, cause),
    )
    notes = dict.fromkeys(library.causes[cause].prevention for cause in causes[:2])
    items = [library.items[item].title for item in (*service.needs.tools, *service.needs.spares)]
    return ServiceTask(
        title=service.title,
        how=service.how,
        figures=tuple(_figure(library, machine, figure) for figure in service.figures),
        locking=service.locking,
        minutes=taken.minutes if taken else service.needs.minutes,
        waiting=service.needs.waiting,
        items=tuple(items),
        keeps=tuple(library.title_of(cause) for cause in causes[:KEPT_AWAY]),
        notes=tuple(note for note in notes if note),
        hazards=tuple(library.hazards[hazard].title for hazard in service.needs.hazards),
    )


def _figure(library: Library, machine: Machine, figure: FigureId) -> str:
    value = figure_of(library, machine, figure)
    title = library.figures[figure].title
    assumed = "" if figure in machine.figures else " (assumed; the maker's figure goes before it)"
    if figure == PREMIX:
        return f"{title}: {value.value:g} to 1, {_oil_for_a_litre(value)}{assumed}"
    return f"{title}: {show(value)}{assumed}"


def _oil_for_a_litre(ratio: Quantity) -> str:
    oil = compute("premix", {"fuel": Quantity(1.0, "L"), "ratio": ratio}).value
    return f"{show(oil)} of oil to 1 L of fuel"


def _torques(library: Library, machine: Machine) -> tuple[tuple[str, str], ...]:
    """Every tightening figure that the machine states, or that is assumed for it."""
    rows = []
    for id_, figure in library.figures.items():
        if dimension_of(figure.unit) != dimension_of(TORQUE_UNIT):
            continue
        try:
            value = figure_of(library, machine, id_)
        except LimitError:
            continue
        rows.append((figure.title, show(value) + ("" if id_ in machine.figures else ", assumed")))
    return tuple(rows)


def _notes(library: Library, found: Iterable[Stranding], told: set[EventId]) -> tuple[tuple[str, str], ...]:
    """The prevention notes of the most frequent faults that no task keeps away, repairs' notes among them."""
    rows: dict[str, str] = {}
    for stranding in sorted(found, key=lambda stranding: (-stranding.share, stranding.cause)):
        if stranding.cause in told:
            continue
        words = [library.causes[stranding.cause].prevention]
        words += [
            repair.prevention
            for repair in library.repairs.values()
            if not repair.roadside and stranding.cause in repair.cures
        ]
        said = next((note for note in words if note), "")
        if said and said not in rows.values():
            rows[library.title_of(stranding.cause)] = said
        if len(rows) == NOTES:
            break
    return tuple(rows.items())


def _cautions(library: Library, hazards: Iterable[HazardId]) -> tuple[TaskCaution, ...]:
    return tuple(
        TaskCaution(library.hazards[hazard].title, library.hazards[hazard].caution) for hazard in hazards
    )
