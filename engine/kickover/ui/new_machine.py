"""A new machine asked step by step: its name, what it has, the figures that are known. A pure state machine.

What is left out is taken to be as on a typical machine, and said so.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum

from kickover.authoring.validate.measurement import SEVERAL
from kickover.core.ids import FigureId, MachineId, TraitId
from kickover.core.problem import SourcePlace
from kickover.model.library import FigureRef, FormulaRef, Library, Machine
from kickover.model.limits import LimitError, figure_of, resolved_bands
from kickover.session.typed_text import cleaned
from kickover.ui.picking import not_picked, picked, places
from kickover.ui.screen import Choice, Screen
from kickover.units import Quantity, QuantityError, parse, show

KEYS = (Choice("back", "go back"), Choice("quit", "stop"))
NOWHERE = SourcePlace("", 1)


class NewStage(StrEnum):
    """What is being asked."""

    TITLE = "title"
    TRAITS = "traits"
    FIGURES = "figures"
    DONE = "done"


@dataclass(frozen=True, slots=True)
class NewMachine:
    """The answers so far. `taken` are the ids that other machines have."""

    library: Library
    taken: frozenset[str] = frozenset()
    title: str = ""
    chosen: Mapping[str, tuple[TraitId, ...]] = field(default_factory=dict)
    figures: Mapping[FigureId, Quantity] = field(default_factory=dict)
    passed: frozenset[FigureId] = frozenset()
    message: str = ""
    left: bool = False
    before: NewMachine | None = field(default=None, repr=False)

    @property
    def stage(self) -> NewStage:
        """What is asked now."""
        if not self.title:
            return NewStage.TITLE
        if len(self.chosen) < len(trait_groups(self.library)):
            return NewStage.TRAITS
        return NewStage.FIGURES if self.open_figures() else NewStage.DONE

    @property
    def over(self) -> bool:
        """True when all is known, or the person left."""
        return self.left or self.stage is NewStage.DONE

    @property
    def group(self) -> str:
        """The group of traits that is asked about."""
        return list(trait_groups(self.library))[len(self.chosen)]

    def machine(self) -> Machine:
        """The machine as far as it is known."""
        traits = frozenset(one for group in self.chosen.values() for one in group)
        about = "Written down by its owner."
        name = free_id(self.title, self.taken)
        return Machine(name, self.title, about, False, traits, self.figures, NOWHERE)

    def open_figures(self) -> tuple[FigureId, ...]:
        """The figures that matter for this machine's limits and were not asked yet."""
        known = self.passed | self.figures.keys()
        return tuple(one for one in figures_that_matter(self.library, self.machine()) if one not in known)

    def usual(self) -> tuple[TraitId, ...]:
        """What a typical machine of this stroke has in the group that is asked about."""
        strokes = self.chosen.get("stroke", ())
        typical = self.library.machines.get(MachineId(f"unknown-{strokes[0]}")) if strokes else None
        members = trait_groups(self.library)[self.group]
        return tuple(member for member in members if typical is not None and member in typical.traits)

    def words(self) -> tuple[str, ...]:
        """What can be typed now, for completion."""
        if self.stage is NewStage.TRAITS:
            return tuple(trait_groups(self.library)[self.group])
        return ("rest",) if self.stage is NewStage.FIGURES else ()

    def screen(self) -> Screen:
        """What to show."""
        match self.stage:
            case NewStage.TITLE:
                return Screen("New machine", "What do you call it?", keys=KEYS, prompt="Its name")
            case NewStage.TRAITS:
                return _traits_screen(self)
            case NewStage.FIGURES:
                return _figure_screen(self)
            case NewStage.DONE:
                return Screen("New machine", "That is all.")


def handle_new_machine_input(new: NewMachine, text: str) -> NewMachine:
    """What a typed line does; a message where it is not understood."""
    said = cleaned(text)
    now = replace(new, message="")
    if said.lower() == "quit":
        return replace(now, left=True)
    if said.lower() == "back":
        return new.before or replace(now, message="This is the first question.")
    match new.stage:
        case NewStage.TITLE:
            answered = _title_heard(now, said)
        case NewStage.TRAITS:
            answered = _traits_heard(now, said)
        case NewStage.FIGURES:
            answered = _figure_heard(now, said)
        case NewStage.DONE:
            return now
    return answered if answered.message else replace(answered, before=new)


def trait_groups(library: Library) -> Mapping[str, tuple[TraitId, ...]]:
    """The traits by group, the stroke first and the rest as they were written."""
    groups: dict[str, tuple[TraitId, ...]] = {"stroke": ()}
    for id_, trait in library.traits.items():
        groups[trait.group] = (*groups.get(trait.group, ()), id_)
    return {group: members for group, members in groups.items() if members}


def figures_that_matter(library: Library, machine: Machine) -> tuple[FigureId, ...]:
    """The figures on which a limit of one of the machine's measurements rests, in its order."""
    used: set[FigureId] = set()
    for check in library.checks.values():
        if check.reading is None or not machine.fits(check.needs.only_if):
            continue
        for band in check.reading.bands:
            for limit in (band.low, band.high):
                base = limit.base if limit else None
                if isinstance(base, FigureRef):
                    used.add(base.figure)
                elif isinstance(base, FormulaRef):
                    used |= {
                        argument.figure
                        for argument in base.arguments.values()
                        if isinstance(argument, FigureRef)
                    }
    return tuple(figure for figure in library.figures if figure in used)


def free_id(title: str, taken: frozenset[str]) -> MachineId:
    """An id made from a title that no other machine has."""
    words = re.findall(r"[a-z0-9]+", title.lower())
    stem = "-".join(words)[:40].strip("-") or "machine"
    stem = stem if stem[0].isalpha() else f"machine-{stem}"
    name, number = stem, 2
    while name in taken:
        name, number = f"{stem}-{number}", number + 1
    return MachineId(name)


def _title_heard(new: NewMachine, said: str) -> NewMachine:
    if not said:
        return replace(new, message="Give it any name by which you will know it again.")
    return replace(new, title=said[:60])


def _traits_screen(new: NewMachine) -> Screen:
    groups = trait_groups(new.library)
    usual = " and ".join(new.library.traits[one].title.lower() for one in new.usual())
    several = "Several at once: 1 3. " if new.group in SEVERAL else ""
    return Screen(
        f"New machine ({len(new.chosen) + 1} of {len(groups)})",
        f"{new.group.capitalize()}: what has it?",
        choices=tuple(
            Choice(str(number), new.library.traits[group].title)
            for number, group in enumerate(groups[new.group], start=1)
        ),
        facts=(f"{several}Enter if you do not know: {usual or 'none of these'}.",),
        keys=(Choice("none", "none of these"), *KEYS),
        prompt="Number or word",
    )


def _traits_heard(new: NewMachine, said: str) -> NewMachine:
    members = trait_groups(new.library)[new.group]
    titles = [new.library.traits[member].title for member in members]
    if said.lower() == "none":
        return _with_traits(new, ())
    if not said:
        if new.group == "stroke":
            return replace(new, message="This one must be known: with oil in the fuel it is a two-stroke.")
        return _with_traits(new, new.usual())
    several = places(said, len(members))
    if several is None:
        one = picked(said, members, titles)
        if one is None:
            return replace(new, message=not_picked(said, members, titles))
        several = (one,)
    if len(several) > 1 and new.group not in SEVERAL:
        return replace(new, message="Only one of these can be; type its number.")
    return _with_traits(new, tuple(members[place] for place in several))


def _with_traits(new: NewMachine, traits: tuple[TraitId, ...]) -> NewMachine:
    return replace(new, chosen={**new.chosen, new.group: traits})


def _figure_screen(new: NewMachine) -> Screen:
    asked = new.open_figures()
    figure = new.library.figures[asked[0]]
    assumed = show(figure_of(new.library, new.machine(), figure.id))
    return Screen(
        f"New machine, figures ({len(asked)} left)",
        f"{figure.title}?",
        facts=(f"Enter leaves it out; then {assumed} is assumed.",),
        keys=(Choice("rest", "leave out all the rest"), *KEYS),
        prompt=f"Value in {figure.unit}, or another unit" if figure.unit else "Value",
    )


def _figure_heard(new: NewMachine, said: str) -> NewMachine:
    asked = new.open_figures()
    if said.lower() == "rest":
        return replace(new, passed=new.passed | frozenset(asked))
    if not said:
        return replace(new, passed=new.passed | {asked[0]})
    try:
        value = parse(said, default_unit=new.library.figures[asked[0]].unit)
        stated = replace(new, figures={**new.figures, asked[0]: value})
        _work_out_limits(stated)
    except (QuantityError, LimitError) as error:
        return replace(new, message=f"That cannot be: {error}.")
    return stated


def _work_out_limits(new: NewMachine) -> None:
    """Raise LimitError when a measurement has no sensible limits with these figures."""
    machine = new.machine()
    for check in new.library.checks.values():
        if check.reading is not None and machine.fits(check.needs.only_if):
            resolved_bands(check.reading, new.library, machine)
