"""A machine asked step by step: its name, what it has, the figures that are known. A pure state machine.

What is left out is taken to be as on a typical machine, and said so; for one that was written down before,
everything stays that is not answered anew.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum

from kickover.authoring.validate.measurement import SEVERAL
from kickover.core.ids import FigureId, MachineId, TraitId
from kickover.core.problem import SourcePlace
from kickover.core.screening import seen, unsent
from kickover.model.library import FigureRef, FormulaRef, Library, Machine
from kickover.model.limits import LimitError, figure_doubt, figure_of, resolved_bands
from kickover.session.interpreting import cleaned
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
    """The answers so far. `taken` are the ids that other machines have; `prior` is the machine to be changed.

    `asked` are the figures that were answered or left out, and `doubted` is the value that was called into
    doubt: typed once more, it is taken.
    """

    library: Library
    taken: frozenset[str] = frozenset()
    title: str = ""
    chosen: Mapping[str, tuple[TraitId, ...]] = field(default_factory=dict)
    figures: Mapping[FigureId, Quantity] = field(default_factory=dict)
    asked: frozenset[FigureId] = frozenset()
    prior: Machine | None = None
    doubted: str = ""
    message: str = ""
    left: bool = False
    before: NewMachine | None = field(default=None, repr=False)

    @property
    def stage(self) -> NewStage:
        """What is asked now."""
        if not self.title:
            return NewStage.TITLE
        if self.open_groups():
            return NewStage.TRAITS
        return NewStage.FIGURES if self.open_figures() else NewStage.DONE

    @property
    def over(self) -> bool:
        """True when all is known, or the person left."""
        return self.left or self.stage is NewStage.DONE

    @property
    def group(self) -> str:
        """The group of traits that is asked about."""
        return self.open_groups()[0]

    def open_groups(self) -> tuple[str, ...]:
        """The groups of traits that were not asked yet and of which the machine may have any."""
        groups = trait_groups(self.library)
        return tuple(group for group in groups if group not in self.chosen and self.members(group))

    def members(self, group: str) -> tuple[TraitId, ...]:
        """The traits of a group that a machine with the traits chosen so far may have."""
        machine = self.machine()
        traits = self.library.traits
        return tuple(one for one in trait_groups(self.library)[group] if machine.fits(traits[one].only_if))

    def machine(self) -> Machine:
        """The machine as far as it is known."""
        traits = frozenset(one for group in self.chosen.values() for one in group)
        if self.prior is not None:
            return replace(self.prior, title=self.title, traits=traits, figures=self.figures)
        about = "Written down by its owner."
        name = free_id(self.title, self.taken)
        return Machine(name, self.title, traits, NOWHERE, about, figures=self.figures)

    def open_figures(self) -> tuple[FigureId, ...]:
        """The figures that matter for this machine's limits and were not asked yet."""
        matter = figures_that_matter(self.library, self.machine())
        return tuple(one for one in matter if one not in self.asked)

    def usual(self) -> tuple[TraitId, ...]:
        """What the machine had in the group that is asked about, or else a typical one of this stroke."""
        strokes = self.chosen.get("stroke", ())
        typical = self.library.machines.get(MachineId(f"unknown-{strokes[0]}")) if strokes else None
        alike = self.prior or typical
        return tuple(one for one in self.members(self.group) if alike is not None and one in alike.traits)

    def words(self) -> tuple[str, ...]:
        """What can be typed now, for completion."""
        if self.stage is NewStage.TRAITS:
            return self.members(self.group)
        return ("rest", "unknown") if self.stage is NewStage.FIGURES else ()

    def screen(self) -> Screen:
        """What to show."""
        match self.stage:
            case NewStage.TITLE:
                facts = (f"Enter keeps {self.prior.title!r}.",) if self.prior else ()
                return Screen(self.heading, "What do you call it?", facts=facts, keys=KEYS, prompt="Its name")
            case NewStage.TRAITS:
                return _traits_screen(self)
            case NewStage.FIGURES:
                return _figure_screen(self)
            case NewStage.DONE:
                return Screen(self.heading, "That is all.")

    @property
    def heading(self) -> str:
        """What stands on top of every screen."""
        return "Change a machine" if self.prior else "New machine"


def change_machine(library: Library, prior: Machine) -> NewMachine:
    """The first question about a machine that was written down before."""
    return NewMachine(library, prior=prior, figures=prior.figures)


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
    said = said or (new.prior.title if new.prior else "")
    if unsent(said) or not seen(said):
        return replace(new, message="Give it any name by which you will know it again.")
    return replace(new, title=said[:60])


def _traits_screen(new: NewMachine) -> Screen:
    members, still_open = new.members(new.group), len(new.open_groups())
    usual = " and ".join(new.library.traits[one].title.lower() for one in new.usual())
    several = "Several at once: 1 3. " if new.group in SEVERAL else ""
    enter = "Enter keeps" if new.prior else "Enter if you do not know"
    return Screen(
        f"{new.heading} ({still_open} to go)",
        f"{new.group.capitalize()}: what has it?",
        choices=tuple(
            Choice(str(number), new.library.traits[group].title)
            for number, group in enumerate(members, start=1)
        ),
        facts=(f"{several}{enter}: {usual or 'none of these'}.",),
        keys=(Choice("none", "none of these"), *KEYS),
        prompt="Number or word",
    )


def _traits_heard(new: NewMachine, said: str) -> NewMachine:
    members = new.members(new.group)
    titles = [new.library.traits[member].title for member in members]
    if said.lower() == "none":
        return _with_traits(new, ())
    if not said:
        if new.group == "stroke" and not new.usual():
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
    answered = replace(new, chosen={**new.chosen, new.group: traits})
    while answered.open_groups() and (only := _only_choice(answered)):
        answered = replace(answered, chosen={**answered.chosen, answered.group: only})
    return answered


def _only_choice(new: NewMachine) -> tuple[TraitId, ...]:
    """The one trait that is left of a choice of several, which then need not be asked."""
    members = new.members(new.group)
    others = len(trait_groups(new.library)[new.group]) - len(members)
    return members if len(members) == 1 and others and new.group not in SEVERAL else ()


def _figure_screen(new: NewMachine) -> Screen:
    asked = new.open_figures()
    figure = new.library.figures[asked[0]]
    value = show(figure_of(new.library, new.machine(), figure.id))
    kept = f"Enter keeps {value}; `unknown` takes it away."
    return Screen(
        f"{new.heading}, figures ({len(asked)} left)",
        f"{figure.title}?",
        facts=(kept if figure.id in new.figures else f"Enter leaves it out; then {value} is assumed.",),
        keys=(Choice("rest", "leave out all the rest"), *KEYS),
        prompt=f"Value in {figure.unit}, or another unit" if figure.unit else "Value",
    )


def _figure_heard(new: NewMachine, said: str) -> NewMachine:
    still_open = new.open_figures()
    figure = new.library.figures[still_open[0]]
    if said.lower() == "rest":
        return replace(new, asked=new.asked | frozenset(still_open))
    now = replace(new, asked=new.asked | {figure.id}, doubted="")
    if not said:
        return now
    if said.lower() == "unknown":
        return replace(now, figures={one: value for one, value in new.figures.items() if one != figure.id})
    try:
        stated = replace(now, figures={**new.figures, figure.id: parse(said, default_unit=figure.unit)})
        _work_out_limits(stated)
    except (QuantityError, LimitError) as error:
        return replace(new, message=f"That cannot be: {error}.")
    doubt = figure_doubt(new.library, stated.machine(), figure.id)
    if doubt and said != new.doubted:
        return replace(new, doubted=said, message=f"{doubt}. If it is so, type it once more.")
    return stated


def _work_out_limits(new: NewMachine) -> None:
    """Raise LimitError when a measurement has no sensible limits with these figures."""
    machine = new.machine()
    for check in new.library.checks.values():
        if check.reading is not None and machine.fits(check.needs.only_if):
            resolved_bands(check.reading, new.library, machine)
