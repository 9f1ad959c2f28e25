"""How each check and repair is done, numbered once for a machine: a booklet that all its sheets share."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from kickover.core.ids import HazardId, SetupId
from kickover.documents.engine_drawing import MarkedDrawing, drawings_of, shown_on
from kickover.documents.page_layout import (
    MARGIN,
    SIZE,
    STANDING,
    Area,
    Entry,
    Panel,
    PrintedPage,
    TextMark,
    column_of,
    lines_entry,
    sheets_of,
)
from kickover.model.library import Check, Library, Machine, Repair


@dataclass(frozen=True, slots=True)
class HowTo:
    """How one check or repair is done: title, tools and spares, what comes first, cautions, steps, places."""

    id: str
    title: str
    needed: tuple[str, ...]
    first: tuple[str, ...]
    cautions: tuple[str, ...]
    steps: tuple[str, ...]
    where: tuple[MarkedDrawing, ...] = ()


def how_to(library: Library, machine: Machine) -> dict[str, HowTo]:
    """How every check and repair of such a machine is done, by their ids, in the order of titles."""
    work: list[Check | Repair] = [*library.checks.values(), *library.repairs.values()]
    fitting = sorted(
        (one for one in work if machine.fits(one.needs.only_if)), key=lambda one: (one.title, one.id)
    )
    return {one.id: _how(library, machine, one) for one in fitting}


def how_to_numbers(library: Library, machine: Machine) -> dict[str, int]:
    """The number of every check and repair in the booklet of such a machine, which its sheets name."""
    return {id_: number for number, id_ in enumerate(how_to(library, machine), start=1)}


def _how(library: Library, machine: Machine, step: Check | Repair) -> HowTo:
    needs = step.needs
    items = (library.items[item].title.lower() for item in (*needs.tools, *needs.spares))
    first = tuple(library.setups[setup].title for setup in needs.setups)
    hazards = dict.fromkeys((*needs.hazards, *_hazards(library, needs.setups)))
    cautions = tuple(library.hazards[hazard].title for hazard in hazards)
    where = shown_on(library, machine, needs.shown_at)
    return HowTo(step.id, step.title, tuple(items), first, cautions, step.how, where)


def _hazards(library: Library, setups: Iterable[SetupId]) -> Iterator[HazardId]:
    for setup in setups:
        yield from library.setups[setup].needs.hazards


def booklet(
    library: Library, machine: Machine, paper: str, date: str, only: Iterable[str] | None = None
) -> tuple[PrintedPage, ...]:
    """The booklet's pages, in two columns; with `only`, of just those checks and repairs."""
    wide, high = STANDING[paper]
    column = column_of(paper, 2)
    wanted = None if only is None else set(only)
    everything = how_to(library, machine)
    numbers = how_to_numbers(library, machine)
    chosen = {how.id: how for how in everything.values() if wanted is None or how.id in wanted}
    there = {marked.drawing.id for how in chosen.values() for marked in how.where}
    drawn = [one for one in drawings_of(library, machine) if one.drawing.id in there]
    letters = {one.drawing.id: chr(ord("A") + number) for number, one in enumerate(drawn)}
    entries = [
        one.entry(f"Drawing {letters[one.drawing.id]}: {one.drawing.title}", one.legend(), column)
        for one in drawn
    ]
    entries += [entry for how in chosen.values() for entry in _entries(numbers[how.id], how, letters, column)]
    entries += [
        lines_entry([(hazard.title, True), (hazard.caution, False)], column)
        for hazard in library.hazards.values()
    ]
    title = f"How to: {machine.title}. {library.edition}, {date}."
    head = lines_entry([(title, True)], wide - 2 * MARGIN)
    top = MARGIN + head.high + 4
    groups = sheets_of(paper, 2, entries, (top, top), 16.0)
    edge = Panel(Area(MARGIN, MARGIN, wide, 0), tuple(head.marks))
    pages = []
    for number, group in enumerate(groups, start=1):
        foot = TextMark(0, 0, f"Page {number} of {len(groups)}", SIZE)
        below = Panel(Area(MARGIN, high - MARGIN - 8, wide, 0), (foot,))
        pages.append(PrintedPage(wide, high, (edge, below, *group)))
    return tuple(pages)


def _entries(number: int, how: HowTo, letters: Mapping[str, str], wide: float) -> Iterator[Entry]:
    said = [(f"{number} {how.title}", True)]
    if how.where:
        where = "; ".join(f"drawing {letters[one.drawing.id]}, {one.words()}" for one in how.where)
        said.append((f"Place: {where}.", False))
    if how.needed:
        said.append((f"Needs: {', '.join(how.needed)}.", False))
    if how.first:
        said.append((f"First: {'; '.join(how.first)}.", False))
    if how.cautions:
        said.append((f"Caution: {', '.join(how.cautions)}.", False))
    said += [(f"{place}. {step}", False) for place, step in enumerate(how.steps, start=1)]
    yield lines_entry(said, wide)
