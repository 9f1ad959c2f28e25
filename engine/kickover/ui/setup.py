"""Setting out: which machine, what is wrong, what happened before, what is at hand. A pure state machine.

Each answer that is already known (from the command line) is not asked. The end is a `Start`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum

from kickover.core.ids import EventId, ItemId
from kickover.model.library import Complaint, House, Kit, Library, Machine
from kickover.model.situation import with_event, with_implied
from kickover.session.own_words import matches
from kickover.session.typed_text import cleaned
from kickover.ui.new_machine import NewMachine, new_machine_heard
from kickover.ui.picking import not_picked, picked, places

RUNS = EventId("engine-runs")
"""The house event that is not asked where the complaint is that the engine does not run."""


class Stage(StrEnum):
    """What is being asked."""

    MACHINE = "machine"
    NEW = "new"
    COMPLAINT = "complaint"
    CONFIRM = "confirm"
    SITUATION = "situation"
    KIT = "kit"
    PICK = "pick"
    READY = "ready"


@dataclass(frozen=True, slots=True)
class Start:
    """All that a walk needs to begin.

    `items` None stands for every tool and spare; `fresh` says that the machine was written down just now.
    """

    machine: Machine
    complaints: tuple[EventId, ...]
    given: frozenset[EventId]
    kit: str
    items: frozenset[ItemId] | None
    fresh: bool = False


@dataclass(frozen=True, slots=True)
class SetOut:
    """The answers so far, None where not asked yet.

    `own` are the person's own machines; `new` is one that is being written down; `said` are words for the
    complaint that are known before the machine is.
    """

    library: Library
    own: tuple[Machine, ...] = ()
    machine: Machine | None = None
    new: NewMachine | None = None
    said: str = ""
    complaints: tuple[EventId, ...] = ()
    given: frozenset[EventId] | None = None
    kit: str | None = None
    items: frozenset[ItemId] | None = None
    matched: tuple[EventId, ...] = ()
    confirming: bool = False
    picking: bool = False
    message: str = ""
    left: bool = False
    before: SetOut | None = field(default=None, repr=False)

    @property
    def stage(self) -> Stage:
        """What is asked now."""
        if self.machine is None:
            return Stage.MACHINE if self.new is None else Stage.NEW
        if not self.complaints:
            return Stage.CONFIRM if self.confirming else Stage.COMPLAINT
        if self.given is None:
            return Stage.SITUATION
        if self.kit is None:
            return Stage.PICK if self.picking else Stage.KIT
        return Stage.READY

    @property
    def over(self) -> bool:
        """True when all is known, or the person left."""
        return self.left or self.stage is Stage.READY

    def start(self) -> Start:
        """The start of the walk; only when the stage is READY."""
        assert self.machine is not None
        assert self.kit is not None
        given = self.given or frozenset()
        return Start(self.machine, self.complaints, given, self.kit, self.items, self.new is not None)


def machines_of(set_out: SetOut) -> tuple[Machine, ...]:
    """The machines in the order in which they are offered: one's own, the known ones, the unknown ones."""
    known = sorted(set_out.library.machines.values(), key=lambda one: one.id.startswith("unknown-"))
    return (*set_out.own, *known)


def complaints_for(library: Library, machine: Machine) -> tuple[Complaint, ...]:
    """The complaints that such a machine can have."""
    return tuple(one for one in library.complaints.values() if machine.fits(one.gate.only_if))


def asked_houses(set_out: SetOut) -> tuple[House, ...]:
    """The house events worth asking about: those that the complaints do not settle already."""
    library = set_out.library
    settled = with_implied(library, set_out.complaints, frozenset())
    out = {other for one in settled for other in library.houses[one].excludes} | settled
    if any(library.complaints[one].strands for one in set_out.complaints):
        out = out | {RUNS}
    return tuple(one for one in library.houses.values() if one.id not in out)


def kits_of(library: Library) -> tuple[Kit, ...]:
    """The kits in the order in which they are offered."""
    return tuple(library.kits.values())


def set_out_heard(set_out: SetOut, text: str) -> SetOut:
    """What a typed line does; a message where it is not understood."""
    said = cleaned(text)
    now = replace(set_out, message="")
    if said.lower() == "quit":
        return replace(now, left=True)
    if set_out.stage is Stage.NEW:
        return _new_heard(now, said)
    if said.lower() == "back":
        return set_out.before or replace(now, message="This is the first question.")
    answered = _HEARD[set_out.stage](now, said)
    return answered if answered.message else replace(answered, before=set_out)


def with_machine(set_out: SetOut, machine: Machine) -> SetOut:
    """The machine is known; so are the complaints that were said beforehand, where they fit it."""
    known = replace(set_out, machine=machine)
    if not known.said or known.complaints:
        return known
    asked = _complaint_heard(replace(known, said=""), known.said)
    return replace(asked, before=known) if asked.confirming else asked


def _machine_heard(set_out: SetOut, said: str) -> SetOut:
    known = machines_of(set_out)
    ids, titles = [one.id for one in known], [one.title for one in known]
    if said.lower() in {str(len(known) + 1), "new"}:
        return replace(set_out, new=NewMachine(set_out.library, frozenset(ids)))
    place = picked(said, ids, titles)
    if place is None:
        return replace(set_out, message=not_picked(said, [*ids, "new"], [*titles, ""]))
    return with_machine(set_out, known[place])


def _new_heard(set_out: SetOut, said: str) -> SetOut:
    assert set_out.new is not None
    if said.lower() == "back" and set_out.new.before is None:
        return replace(set_out, new=None)
    new = new_machine_heard(set_out.new, said)
    if not new.over:
        return replace(set_out, new=new, message=new.message)
    return with_machine(replace(set_out, new=new), new.machine())


def _complaint_heard(set_out: SetOut, said: str) -> SetOut:
    assert set_out.machine is not None
    offered = complaints_for(set_out.library, set_out.machine)
    if said.lower() == "list":
        return replace(set_out, matched=tuple(one.id for one in offered), confirming=True)
    found = [one.complaint.id for one in matches(said, offered)]
    if not found:
        return replace(set_out, message="That fits none of the complaints; try other words, or type list.")
    return replace(set_out, matched=tuple(found[:6]), confirming=True)


def _confirm_heard(set_out: SetOut, said: str) -> SetOut:
    if said.lower() in {"", "yes", "y"}:
        return replace(set_out, complaints=set_out.matched[:1], confirming=False)
    numbers = places(said, len(set_out.matched))
    if numbers is not None:
        return replace(set_out, complaints=tuple(set_out.matched[one] for one in numbers), confirming=False)
    if all(part.isdecimal() for part in said.replace(",", " ").replace("-", " ").split()):
        return replace(set_out, message=f"Type numbers from 1 to {len(set_out.matched)}.")
    return _complaint_heard(replace(set_out, confirming=False), said)


def _situation_heard(set_out: SetOut, said: str) -> SetOut:
    asked = asked_houses(set_out)
    if said.lower() in {"", "none", "no"}:
        return replace(set_out, given=frozenset())
    numbers = places(said, len(asked))
    if numbers is None:
        one = picked(said, [house.id for house in asked], [house.title for house in asked])
        if one is None:
            return replace(set_out, message=f"Type numbers from 1 to {len(asked)}, or Enter for none.")
        numbers = (one,)
    given: frozenset[EventId] = frozenset()
    for place in numbers:
        given = with_event(set_out.library, given, asked[place].id)
    return replace(set_out, given=given)


def _kit_heard(set_out: SetOut, said: str) -> SetOut:
    known = kits_of(set_out.library)
    if said.lower() in {str(len(known) + 1), "pick"}:
        return replace(set_out, picking=True)
    ids, titles = [one.id for one in known], [one.title for one in known]
    place = picked(said, ids, titles)
    if place is None:
        return replace(set_out, message=not_picked(said, [*ids, "pick"], [*titles, ""]))
    return replace(set_out, kit=known[place].id, items=known[place].items)


def _pick_heard(set_out: SetOut, said: str) -> SetOut:
    items = list(set_out.library.items)
    numbers = places(said, len(items))
    if numbers is None:
        titles = [set_out.library.items[one].title for one in items]
        named = [picked(part.strip(), items, titles) for part in said.split(",")]
        if None in named:
            return replace(
                set_out, message=f"Type numbers from 1 to {len(items)}, such as 1 3-6 12, or names."
            )
        numbers = tuple(one for one in named if one is not None)
    return replace(set_out, kit="picked", items=frozenset(items[one] for one in numbers), picking=False)


def _ready_heard(set_out: SetOut, _said: str) -> SetOut:
    return set_out


_HEARD: Mapping[Stage, Callable[[SetOut, str], SetOut]] = {
    Stage.MACHINE: _machine_heard,
    Stage.COMPLAINT: _complaint_heard,
    Stage.CONFIRM: _confirm_heard,
    Stage.SITUATION: _situation_heard,
    Stage.KIT: _kit_heard,
    Stage.PICK: _pick_heard,
    Stage.READY: _ready_heard,
}
