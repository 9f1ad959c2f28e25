"""All that is known of one entry of a library, as titled lines: for a screen, a page, or another program."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from kickover.core.ids import EventId, FigureId, HazardId, ItemId, SourceId
from kickover.documents.model_wording import chance_words, condition_words, rate_words
from kickover.formulas import Formula, describe_range, registry
from kickover.model.graph import event_graph
from kickover.model.library import (
    ALWAYS,
    Cause,
    Check,
    Complaint,
    Condition,
    Figure,
    Gate,
    Hazard,
    HouseEvent,
    Item,
    Kit,
    Lesson,
    Library,
    Machine,
    Needs,
    Repair,
    Service,
    Setup,
    Source,
    Trait,
    names_in,
)
from kickover.model.limits import LimitError, figure_of, resolved_bands
from kickover.session.outcome import bands_in_words
from kickover.session.wording import minutes_in_words, put_back_title, sentence
from kickover.units import show

Entry = (
    Complaint
    | Gate
    | Cause
    | HouseEvent
    | Check
    | Repair
    | Setup
    | Item
    | Machine
    | Kit
    | Lesson
    | Service
    | Figure
    | Trait
    | Hazard
    | Source
    | Formula
)


@dataclass(frozen=True, slots=True)
class EntryPart:
    """Some lines that belong together, under a title of their own."""

    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class EntryPage:
    """One entry: of which kind it is, and what is known of it."""

    kind: str
    id: str
    title: str
    parts: tuple[EntryPart, ...]


def entries(library: Library) -> Mapping[str, Mapping[str, Entry]]:
    """Everything that has a name, by kind and id; formulas of the field among it."""
    groups: Mapping[str, Mapping[str, Entry]] = {
        "complaint": {str(id_): one for id_, one in library.complaints.items()},
        "cause": {str(id_): one for id_, one in library.causes.items()},
        "state": {str(id_): one for id_, one in library.gates.items()},
        "situation": {str(id_): one for id_, one in library.houses.items()},
        "check": {str(id_): one for id_, one in library.checks.items()},
        "repair": {str(id_): one for id_, one in library.repairs.items()},
        "setup": {str(id_): one for id_, one in library.setups.items()},
        "item": {str(id_): one for id_, one in library.items.items()},
        "machine": {str(id_): one for id_, one in library.machines.items()},
        "kit": {str(id_): one for id_, one in library.kits.items()},
        "lesson": {str(id_): one for id_, one in library.lessons.items()},
        "service": {str(id_): one for id_, one in library.services.items()},
        "figure": {str(id_): one for id_, one in library.figures.items()},
        "trait": {str(id_): one for id_, one in library.traits.items()},
        "caution": {str(id_): one for id_, one in library.hazards.items()},
        "source": {str(id_): one for id_, one in library.sources.items()},
        "formula": {one.name: one for one in registry().values()},
    }
    return groups


def entry_pages(library: Library, name: str, machine: Machine | None = None) -> tuple[EntryPage, ...]:
    """The pages of what is called `name`, one for each kind that has it; none where nothing has.

    With a machine its limits and figures are shown. Raises LimitError when one has no number on it.
    """
    return tuple(
        EntryPage(
            kind,
            name,
            group[name].title,
            tuple(part for part in _parts(library, group[name], machine) if part.lines),
        )
        for kind, group in entries(library).items()
        if name in group
    )


def _parts(library: Library, entry: Entry, machine: Machine | None) -> Iterator[EntryPart]:
    match entry:
        case Complaint() | Gate() | Cause() | HouseEvent():
            yield from _event(library, entry)
        case Check() | Repair() | Setup() | Service():
            yield from _step(library, entry, machine)
        case Figure():
            yield from _figure(library, entry, machine)
        case Formula():
            needed = (f"{one.name}: {one.title}; {describe_range(one)}" for one in entry.parameters)
            yield EntryPart("It takes", tuple(needed))
            yield EntryPart("Holds for", (entry.validity,))
            yield EntryPart("Source", (entry.source,))
        case _:
            yield from _ground(library, entry)
    if isinstance(entry, Cause | Check | Repair | Service | Figure | Hazard):
        yield EntryPart("Source", _sources(library, entry.sources))


def _event(library: Library, event: Complaint | Gate | Cause | HouseEvent) -> Iterator[EntryPart]:
    match event:
        case Complaint():
            yield EntryPart("Said like this", event.words)
            yield EntryPart("What leads to it", _inputs(library, event.gate))
            yield EntryPart("It is gone when", (event.proof.ask, *event.proof.how))
            stranded = ("The machine cannot be ridden home with it.",)
            yield EntryPart("On the road", stranded if event.strands else ())
            yield EntryPart("Cautions", _cautions(library, event.proof.hazards))
        case Gate():
            yield EntryPart("About", _said(event.about))
            yield EntryPart("What leads to it", _inputs(library, event))
            yield from _standing(library, event.id)
            yield EntryPart("Only", _only(library, event.only_if))
        case Cause():
            yield from _cause(library, event)
        case HouseEvent():
            yield EntryPart("Asked as", _said(event.ask))
            yield EntryPart("Cannot be together with", _named(library.title_of, event.excludes))
            yield EntryPart("How to bring it about", _said(event.how))


def _step(
    library: Library, step: Check | Repair | Setup | Service, machine: Machine | None
) -> Iterator[EntryPart]:
    match step:
        case Check():
            yield from _check(library, step, machine)
        case Repair():
            yield from _repair(library, step, machine)
        case Setup():
            yield EntryPart("How", _numbered(step.how))
            yield EntryPart(put_back_title(step), _numbered(step.undo))
            yield EntryPart("Figures", _figures(library, step.figures, machine))
        case Service():
            yield EntryPart("How", _numbered(step.how))
            yield EntryPart("Keeps away", _named(library.title_of, step.prevents))
            yield EntryPart("Figures", _figures(library, step.figures, machine))
    yield from _needs(library, step.needs)


def _ground(
    library: Library, entry: Item | Machine | Kit | Lesson | Trait | Hazard | Source
) -> Iterator[EntryPart]:
    match entry:
        case Item():
            size = f"{entry.grams:g} g, {entry.litres:g} L, {entry.price:g} in the money of the library"
            yield EntryPart("Spare" if entry.spare else "Tool", (size,))
            yield EntryPart("Checks with it", _users(library.checks.values(), entry.id))
            yield EntryPart("Repairs with it", _users(library.repairs.values(), entry.id))
        case Machine():
            yield EntryPart("About", _said(entry.about))
            traits = (library.traits[one].title for one in sorted(entry.traits) if one in library.traits)
            yield EntryPart("It has", tuple(traits))
            yield EntryPart("Figures", _figures(library, library.figures, entry))
        case Kit():
            yield EntryPart("Holds", tuple(_with_id(library.items[one]) for one in sorted(entry.items)))
        case Lesson():
            yield EntryPart("Goal", (entry.goal,))
            yield EntryPart("About", (library.title_of(entry.complaint),))
            yield EntryPart("On", (f"{library.machines[entry.machine].title}, level {entry.level}",))
        case Trait():
            having = (one for one in library.machines.values() if entry.id in one.traits)
            yield EntryPart("A choice of", (entry.group,))
            yield EntryPart("Machines with it", tuple(f"{one.title} ({one.id})" for one in having))
        case Hazard():
            yield EntryPart("Caution", (entry.caution,))
        case Source():
            yield EntryPart("Kind", (entry.kind.value,))
            yield EntryPart("Where", _said(entry.detail))


def _cause(library: Library, cause: Cause) -> Iterator[EntryPart]:
    yield EntryPart("About", _said(cause.about))
    factors = (
        f"{factor:g} times the odds: {library.title_of(house)}" for house, factor in cause.factors.items()
    )
    yield EntryPart("How often", (rate_words(cause), *factors))
    yield from _standing(library, cause.id)
    seen = (check for check in library.checks.values() if cause.id in observed(check))
    yield EntryPart("Checks that see it", tuple(_with_id(check) for check in seen))
    cures = (
        f"{_with_id(repair)}: {'roadside' if repair.roadside else 'lasting'}, "
        f"{minutes_in_words(repair.needs.minutes)}, works in {chance_words(repair.cures[cause.id])}"
        for repair in library.repairs.values()
        if cause.id in repair.cures
    )
    yield EntryPart("Repairs", tuple(cures))
    brought = library.brings.get(cause.id)
    yield EntryPart("Brings about", _named(library.title_of, brought.events) if brought else ())
    by = [one.cause for one in library.brings.values() if cause.id in one.events]
    yield EntryPart("Brought about by", _named(library.title_of, by))
    yield EntryPart("So that it stays away", _said(cause.prevention))
    yield EntryPart("Riding", () if cause.ride else ("Do not ride with it.",))
    yield EntryPart("Only", _only(library, cause.only_if))


def _check(library: Library, check: Check, machine: Machine | None) -> Iterator[EntryPart]:
    yield EntryPart("Asked as", (check.ask,))
    yield EntryPart("How", _numbered(check.how))
    yield EntryPart("", tuple(check.sketch.splitlines()))
    yield EntryPart(
        "Findings, as --saw takes them",
        tuple(f"{check.id}={finding.id}  {finding.title}" for finding in check.findings),
    )
    if check.reading is not None:
        unit = f" {check.reading.unit}" if check.reading.unit else ""
        yield EntryPart("Or the reading", (f"{check.id}='NUMBER{unit}'",))
        words = (
            bands_in_words(check, resolved_bands(check.reading, library, machine))
            if machine
            else ("Name one with --machine to see the numbers.",)
        )
        yield EntryPart(f"Limits on {machine.title}" if machine else "Limits of a machine", words)
    yield EntryPart("It tells of", _named(library.title_of, observed(check)))
    yield EntryPart("Counts for", _said(check.note))


def _repair(library: Library, repair: Repair, machine: Machine | None) -> Iterator[EntryPart]:
    lasting = f"Roadside; lasts {repair.lasts}" if repair.lasts else "Roadside"
    kind = (
        "A test: it cures while it is in place" if repair.test else lasting if repair.roadside else "Lasting"
    )
    yield EntryPart("Kind", (sentence(kind),))
    cures = (
        f"{library.title_of(cause)} ({cause}): works in {chance_words(chance)}"
        for cause, chance in repair.cures.items()
    )
    yield EntryPart("Cures", tuple(cures))
    yield EntryPart("How", _numbered(repair.how))
    told = (repair.torque, repair.locking and f"Locking: {repair.locking}")
    figures = _figures(library, repair.figures, machine)
    yield EntryPart("Figures", (*(line for line in told if line), *figures))
    yield EntryPart("So that it stays away", _said(repair.prevention))


def _figure(library: Library, figure: Figure, machine: Machine | None) -> Iterator[EntryPart]:
    yield EntryPart("Unit", (figure.unit or "none",))
    assumed = (
        f"{show(value)}{'' if fitting == ALWAYS else f' where {condition_words(library, fitting)}'}"
        for fitting, value in figure.assumed
    )
    yield EntryPart("Usual, where a machine states none", tuple(assumed))
    stated = (
        f"{one.title}: {show(one.figures[figure.id])}"
        for one in library.machines.values()
        if figure.id in one.figures
    )
    yield EntryPart("Stated by", tuple(stated))
    if machine is not None:
        yield EntryPart(f"On {machine.title}", _figures(library, [figure.id], machine))


def _figures(library: Library, figures: Iterable[FigureId], machine: Machine | None) -> tuple[str, ...]:
    """Each figure by its title; with a machine its number, said to be assumed where it is."""
    return tuple(line for name in figures for line in _figure_line(library, library.figures[name], machine))


def _figure_line(library: Library, figure: Figure, machine: Machine | None) -> Iterator[str]:
    if machine is None:
        yield f"{figure.title} ({figure.id})"
        return
    try:
        value = show(figure_of(library, machine, figure.id))
    except LimitError:
        return
    yield f"{figure.title}: {value}{'' if figure.id in machine.figures else ', assumed'}"


def _inputs(library: Library, gate: Gate) -> tuple[str, ...]:
    needed = "one of these" if gate.needed == 1 else f"{gate.needed} of these together"
    return (
        f"{needed}:",
        *(
            f"{library.title_of(line.event)} ({line.event})"
            + ("" if line.chance == 1.0 else f", shows in {chance_words(line.chance)}")
            for line in gate.inputs
        ),
    )


def _standing(library: Library, event: EventId) -> Iterator[EntryPart]:
    """The shortest way up to each complaint that the event can lead to, and the trees that hold it."""
    parents = event_graph(library).parents
    ways: dict[EventId, tuple[EventId, ...]] = {event: ()}
    waiting = [event]
    for below in waiting:
        for above in parents.get(below, ()) if below not in library.complaints else ():
            if above not in ways:
                ways[above] = (above, *ways[below])
                waiting.append(above)
    trees = [tree.title for tree in library.trees.values() if ways.keys() & set(tree.tops)]
    yield EntryPart("In the trees", tuple(trees))
    lines = (
        " < ".join(library.title_of(one) for one in way)
        for top, way in ways.items()
        if top in library.complaints
    )
    yield EntryPart("It leads to", tuple(lines))


def observed(check: Check) -> tuple[EventId, ...]:
    """The events whose truth decides the findings of a check."""
    return tuple(dict.fromkeys(EventId(name) for line in check.lines for name in names_in(line.when)))


def _needs(library: Library, needs: Needs) -> Iterator[EntryPart]:
    money = f", {needs.price:g} of money" if needs.price else ""
    yield EntryPart("Takes", (sentence(f"{minutes_in_words(needs.minutes)}{money}"),))
    items = (*needs.tools, *needs.spares)
    yield EntryPart("With", tuple(_with_id(library.items[one]) for one in items))
    setups = [library.setups[one].title for one in needs.setups]
    back = [put_back_title(library.setups[one]) for one in needs.undone]
    yield EntryPart("First", (*setups, *back))
    yield EntryPart("Only", (*_only(library, needs.only_if), *_only(library, needs.only_when)))
    yield EntryPart("Cautions", _cautions(library, needs.hazards))


def _only(library: Library, condition: Condition) -> tuple[str, ...]:
    return () if condition == ALWAYS else (sentence(f"where {condition_words(library, condition)}"),)


def _cautions(library: Library, hazards: Iterable[HazardId]) -> tuple[str, ...]:
    return tuple(f"{library.hazards[one].title}: {library.hazards[one].caution}" for one in hazards)


def _sources(library: Library, sources: Iterable[SourceId]) -> tuple[str, ...]:
    known = (library.sources[one] for one in sources if one in library.sources)
    return tuple(f"{source.title} [{source.kind.value}]" for source in known)


def _users(steps: Iterable[Check | Repair], item: ItemId) -> tuple[str, ...]:
    return tuple(_with_id(one) for one in steps if item in (*one.needs.tools, *one.needs.spares))


def _named(title_of: Callable[[EventId], str], events: Iterable[EventId]) -> tuple[str, ...]:
    return tuple(f"{title_of(one)} ({one})" for one in events)


def _with_id(entry: Check | Repair | Item) -> str:
    return f"{entry.title} ({entry.id})"


def _said(text: str) -> tuple[str, ...]:
    return (text,) if text else ()


def _numbered(steps: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(f"{number}. {step}" for number, step in enumerate(steps, start=1))
