"""Setting out: which machine, what is wrong, what happened before, what is at hand. A pure state machine.

Each answer that is already known (from the command line) is not asked. The end is a `Start`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum

from kickover.core.ids import EventId, ItemId
from kickover.model.library import Complaint, HouseEvent, Kit, Library, Machine
from kickover.model.situation import with_event, with_implied
from kickover.session.interpreting import cleaned, refusal
from kickover.session.own_words import matches, situation
from kickover.ui.new_machine import NewMachine, handle_new_machine_input
from kickover.ui.picking import not_picked, picked, places

MOST_READINGS = 3
"""How many complaints are offered for a rider's words."""

HELP_WORDS = frozenset({"help", "?"})

RUNS = EventId("engine-runs")
"""The house event that is not asked where the complaint is that the engine does not run."""


class SetupStage(StrEnum):
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
class SetupState:
    """The answers so far, None where not asked yet.

    `own` are the person's own machines; `new` is one that is being written down; `said` are words for the
    complaint that are known before the machine is, `own_words` those that were understood.
    """

    library: Library
    own: tuple[Machine, ...] = ()
    machine: Machine | None = None
    new: NewMachine | None = None
    said: str = ""
    own_words: str = ""
    complaints: tuple[EventId, ...] = ()
    given: frozenset[EventId] | None = None
    kit: str | None = None
    items: frozenset[ItemId] | None = None
    matched: tuple[EventId, ...] = ()
    confirming: bool = False
    picking: bool = False
    message: str = ""
    left: bool = False
    before: SetupState | None = field(default=None, repr=False)

    @property
    def stage(self) -> SetupStage:
        """What is asked now."""
        if self.machine is None:
            return SetupStage.MACHINE if self.new is None else SetupStage.NEW
        if not self.complaints:
            return SetupStage.CONFIRM if self.confirming else SetupStage.COMPLAINT
        if self.given is None:
            return SetupStage.SITUATION
        if self.kit is None:
            return SetupStage.PICK if self.picking else SetupStage.KIT
        return SetupStage.READY

    @property
    def over(self) -> bool:
        """True when all is known, or the person left."""
        return self.left or self.stage is SetupStage.READY

    def start(self) -> Start:
        """The start of the walk; only when the stage is READY."""
        assert self.machine is not None
        assert self.kit is not None
        given = self.given or frozenset()
        return Start(self.machine, self.complaints, given, self.kit, self.items, self.new is not None)


def machines_of(setup_state: SetupState) -> tuple[Machine, ...]:
    """The machines in the order in which they are offered: one's own, the known ones, the unknown ones."""
    known = sorted(
        setup_state.library.machines.values(), key=lambda machine: machine.id.startswith("unknown-")
    )
    return (*setup_state.own, *known)


def complaints_for(library: Library, machine: Machine) -> tuple[Complaint, ...]:
    """The complaints that such a machine can have."""
    return tuple(
        complaint for complaint in library.complaints.values() if machine.fits(complaint.gate.only_if)
    )


def asked_houses(setup_state: SetupState) -> tuple[HouseEvent, ...]:
    """The house events worth asking about: those that the complaints do not settle already."""
    library = setup_state.library
    settled = with_implied(library, setup_state.complaints, frozenset())
    out = {other for one in settled for other in library.houses[one].excludes} | settled
    if any(library.complaints[complaint].strands for complaint in setup_state.complaints):
        out = out | {RUNS}
    return tuple(house for house in library.houses.values() if house.id not in out)


def understood_houses(setup_state: SetupState) -> tuple[EventId, ...]:
    """The house events that the rider's own words told, to be confirmed."""
    return situation(setup_state.own_words, asked_houses(setup_state))


def kits_of(library: Library) -> tuple[Kit, ...]:
    """The kits in the order in which they are offered."""
    return tuple(library.kits.values())


def handle_setup_input(setup_state: SetupState, text: str) -> SetupState:
    """What a typed line does; a message where it is not understood."""
    now = replace(setup_state, message="")
    if refused := refusal(text):
        return replace(now, message=refused)
    said = cleaned(text)
    if said.lower() == "quit":
        return replace(now, left=True)
    if setup_state.stage is SetupStage.NEW:
        return _new_heard(now, said)
    if said.lower() in HELP_WORDS:
        return replace(now, message=_HELP[setup_state.stage])
    if said.lower() == "back":
        return setup_state.before or replace(now, message="This is the first question.")
    answered = _HEARD[setup_state.stage](now, said)
    return answered if answered.message else replace(answered, before=setup_state)


def with_machine(setup_state: SetupState, machine: Machine) -> SetupState:
    """The machine is known; so are the complaints that were said beforehand, where they fit it."""
    known = replace(setup_state, machine=machine)
    if not known.said or known.complaints:
        return known
    asked = _complaint_heard(replace(known, said=""), known.said)
    return replace(asked, before=known) if asked.confirming else asked


def _machine_heard(setup_state: SetupState, said: str) -> SetupState:
    known = machines_of(setup_state)
    ids, titles = [one.id for one in known], [one.title for one in known]
    if said.lower() in {str(len(known) + 1), "new"}:
        return replace(setup_state, new=NewMachine(setup_state.library, frozenset(ids)))
    place = picked(said, ids, titles)
    if place is None:
        return replace(setup_state, message=not_picked(said, [*ids, "new"], [*titles, ""]))
    return with_machine(setup_state, known[place])


def _new_heard(setup_state: SetupState, said: str) -> SetupState:
    assert setup_state.new is not None
    if said.lower() == "back" and setup_state.new.before is None:
        return replace(setup_state, new=None)
    new = handle_new_machine_input(setup_state.new, said)
    if not new.over:
        return replace(setup_state, new=new, message=new.message)
    return with_machine(replace(setup_state, new=new), new.machine())


def _complaint_heard(setup_state: SetupState, said: str) -> SetupState:
    assert setup_state.machine is not None
    offered = complaints_for(setup_state.library, setup_state.machine)
    if said.lower() == "list":
        return replace(setup_state, matched=tuple(one.id for one in offered), confirming=True)
    found = [match_.complaint.id for match_ in matches(said, offered)][:MOST_READINGS]
    if not found:
        return replace(
            setup_state, message="That fits none of the complaints; try other words, or type list."
        )
    return replace(setup_state, matched=tuple(found), own_words=said, confirming=True)


def _confirm_heard(setup_state: SetupState, said: str) -> SetupState:
    if said.lower() in {"", "yes", "y"}:
        return replace(setup_state, complaints=setup_state.matched[:1], confirming=False)
    numbers = places(said, len(setup_state.matched))
    if numbers is not None:
        return replace(
            setup_state, complaints=tuple(setup_state.matched[number] for number in numbers), confirming=False
        )
    if all(part.isdecimal() for part in said.replace(",", " ").replace("-", " ").split()):
        return replace(setup_state, message=f"Type numbers from 1 to {len(setup_state.matched)}.")
    return _complaint_heard(replace(setup_state, confirming=False), said)


def _situation_heard(setup_state: SetupState, said: str) -> SetupState:
    asked = asked_houses(setup_state)
    understood = understood_houses(setup_state)
    numbers = places(said, len(asked))
    if said.lower() in {"none", "no"}:
        numbers = ()
    if said.lower() in {"", "yes", "y"}:
        numbers = tuple(place for place, house in enumerate(asked) if house.id in understood)
    if numbers is None:
        one = picked(said, [house.id for house in asked], [house.title for house in asked])
        if one is None:
            return replace(setup_state, message=f"Type numbers from 1 to {len(asked)}, or Enter for none.")
        numbers = (one,)
    given: frozenset[EventId] = frozenset()
    for place in numbers:
        given = with_event(setup_state.library, given, asked[place].id)
    return replace(setup_state, given=given)


def _kit_heard(setup_state: SetupState, said: str) -> SetupState:
    known = kits_of(setup_state.library)
    if said.lower() in {str(len(known) + 1), "pick"}:
        return replace(setup_state, picking=True)
    ids, titles = [one.id for one in known], [one.title for one in known]
    place = picked(said, ids, titles)
    if place is None:
        return replace(setup_state, message=not_picked(said, [*ids, "pick"], [*titles, ""]))
    return replace(setup_state, kit=known[place].id, items=known[place].items)


def _pick_heard(setup_state: SetupState, said: str) -> SetupState:
    items = list(setup_state.library.items)
    numbers = places(said, len(items))
    if numbers is None:
        titles = [setup_state.library.items[item].title for item in items]
        named = [picked(part.strip(), items, titles) for part in said.split(",")]
        if None in named:
            return replace(
                setup_state, message=f"Type numbers from 1 to {len(items)}, such as 1 3-6 12, or names."
            )
        numbers = tuple(one for one in named if one is not None)
    return replace(
        setup_state, kit="picked", items=frozenset(items[number] for number in numbers), picking=False
    )


def _ready_heard(setup_state: SetupState, _said: str) -> SetupState:
    return setup_state


_HELP: Mapping[SetupStage, str] = {
    SetupStage.MACHINE: "Type the number of your machine, or new to write another one down. quit leaves.",
    SetupStage.COMPLAINT: "Say it as you would to a friend: dies at the lights. list shows all complaints.",
    SetupStage.CONFIRM: "Type the number that fits best, or say it in other words; list shows all.",
    SetupStage.SITUATION: "Type the numbers of what is true, such as 1 4; none where nothing is.",
    SetupStage.KIT: "Only what is at hand is asked for. Type a number, or pick.",
    SetupStage.PICK: "Type numbers such as 1 3-6 12, or names parted by commas.",
    SetupStage.READY: "",
}
"""What `help` says at each question."""

_HEARD: Mapping[SetupStage, Callable[[SetupState, str], SetupState]] = {
    SetupStage.MACHINE: _machine_heard,
    SetupStage.COMPLAINT: _complaint_heard,
    SetupStage.CONFIRM: _confirm_heard,
    SetupStage.SITUATION: _situation_heard,
    SetupStage.KIT: _kit_heard,
    SetupStage.PICK: _pick_heard,
    SetupStage.READY: _ready_heard,
}
