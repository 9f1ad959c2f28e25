"""Setting out: which machine, what is wrong, what happened before, what is at hand. A pure state machine.

Each answer that is already known (from the command line) is not asked. The end is a `Start`.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from enum import StrEnum

from kickover.ids import EventId, ItemId
from kickover.library.model import Complaint, House, Kit, Library, Machine
from kickover.reason.situation import with_event, with_implied
from kickover.walk.match import matches
from kickover.walk.screen import Choice, Screen


class Stage(StrEnum):
    """What is being asked."""

    MACHINE = "machine"
    COMPLAINT = "complaint"
    CONFIRM = "confirm"
    SITUATION = "situation"
    KIT = "kit"
    PICK = "pick"
    READY = "ready"


@dataclass(frozen=True, slots=True)
class Start:
    """All that a walk needs to begin. `items` None stands for every tool and spare."""

    machine: Machine
    complaints: tuple[EventId, ...]
    given: frozenset[EventId]
    kit: str
    items: frozenset[ItemId] | None


@dataclass(frozen=True, slots=True)
class SetOut:
    """The answers so far, None where not asked yet."""

    library: Library
    machine: Machine | None = None
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
            return Stage.MACHINE
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

    def words(self) -> tuple[str, ...]:
        """What can be typed now, for completion."""
        match self.stage:
            case Stage.MACHINE:
                return tuple(self.library.machines)
            case Stage.COMPLAINT | Stage.CONFIRM:
                return tuple(
                    word for one in self.library.complaints.values() for word in (one.id, *one.words)
                )
            case Stage.KIT:
                return (*self.library.kits, "pick")
            case _:
                return ()

    def start(self) -> Start:
        """The start of the walk; only when the stage is READY."""
        assert self.machine is not None
        assert self.kit is not None
        return Start(self.machine, self.complaints, self.given or frozenset(), self.kit, self.items)

    def screen(self) -> Screen:
        """What to show."""
        return _SCREENS[self.stage](self)


KEYS = (Choice("back", "go back"), Choice("quit", "stop"))


def machines_of(library: Library) -> tuple[Machine, ...]:
    """The machines in the order in which they are offered."""
    return tuple(library.machines.values())


def complaints_for(library: Library, machine: Machine) -> tuple[Complaint, ...]:
    """The complaints that such a machine can have."""
    return tuple(one for one in library.complaints.values() if machine.fits(one.gate.only_if))


def asked_houses(set_out: SetOut) -> tuple[House, ...]:
    """The house events worth asking about: those that the complaints do not settle already."""
    settled = with_implied(set_out.library, set_out.complaints, frozenset())
    excluded = {other for one in settled for other in set_out.library.houses[one].excludes}
    return tuple(
        one for one in set_out.library.houses.values() if one.id not in settled and one.id not in excluded
    )


def set_out_heard(set_out: SetOut, text: str) -> SetOut:
    """What a typed line does; a message where it is not understood."""
    said = " ".join(text.split())
    now = replace(set_out, message="")
    if said.lower() == "quit":
        return replace(now, left=True)
    if said.lower() == "back":
        return set_out.before or replace(now, message="This is the first question.")
    answered = _HEARD[set_out.stage](now, said)
    return answered if answered.message else replace(answered, before=set_out)


def _machine_screen(set_out: SetOut) -> Screen:
    choices = tuple(
        Choice(str(number), one.title) for number, one in enumerate(machines_of(set_out.library), start=1)
    )
    return Screen(
        "Kickover",
        "Which machine is it?",
        choices=choices,
        keys=KEYS,
        prompt="Number or word",
        facts=("One of your own: kickover walk --machine FILE.yaml",),
    )


def _machine_heard(set_out: SetOut, said: str) -> SetOut:
    known = machines_of(set_out.library)
    place = _picked(said, [one.id for one in known], [one.title for one in known])
    if place is None:
        return replace(set_out, message=f"{said!r} is none of them; type a number from 1 to {len(known)}.")
    return replace(set_out, machine=known[place])


def _complaint_screen(set_out: SetOut) -> Screen:
    assert set_out.machine is not None
    return Screen(
        set_out.machine.title,
        "What is wrong? Say it in your own words.",
        body=("For example: won't start, dies when hot, no spark, shakes, bolts come loose.",),
        facts=("list shows every complaint.",),
        keys=(Choice("list", "all complaints"), *KEYS),
        prompt="Your words",
    )


def _complaint_heard(set_out: SetOut, said: str) -> SetOut:
    assert set_out.machine is not None
    offered = complaints_for(set_out.library, set_out.machine)
    if said.lower() == "list":
        return replace(set_out, matched=tuple(one.id for one in offered), confirming=True)
    found = [one.complaint.id for one in matches(said, offered)]
    if not said or not found:
        return replace(set_out, message="That fits none of the complaints; try other words, or type list.")
    return replace(set_out, matched=tuple(found[:6]), confirming=True)


def _confirm_screen(set_out: SetOut) -> Screen:
    choices = [
        Choice(str(number), set_out.library.complaints[one].title)
        for number, one in enumerate(set_out.matched, start=1)
    ]
    return Screen(
        "What is wrong",
        "Is it one of these?",
        choices=tuple(choices),
        facts=("Several at once: 1 3. None of them: type other words.",),
        keys=KEYS,
        prompt="Number, or Enter for 1",
    )


def _confirm_heard(set_out: SetOut, said: str) -> SetOut:
    numbers = said.replace(",", " ").split() if said else ["1"]
    if all(one.isdecimal() for one in numbers):
        places = [int(one) for one in numbers]
        if not all(1 <= place <= len(set_out.matched) for place in places):
            return replace(set_out, message=f"Type numbers from 1 to {len(set_out.matched)}.")
        chosen = tuple(dict.fromkeys(set_out.matched[place - 1] for place in places))
        return replace(set_out, complaints=chosen, confirming=False)
    if said.lower() in {"yes", "y"}:
        return replace(set_out, complaints=set_out.matched[:1], confirming=False)
    return _complaint_heard(replace(set_out, confirming=False), said)


def _situation_screen(set_out: SetOut) -> Screen:
    choices = tuple(
        Choice(str(number), one.title) for number, one in enumerate(asked_houses(set_out), start=1)
    )
    return Screen(
        "What happened before",
        "Which of these are true?",
        choices=choices,
        keys=KEYS,
        prompt="Numbers such as 1 4, or Enter for none",
    )


def _situation_heard(set_out: SetOut, said: str) -> SetOut:
    asked = asked_houses(set_out)
    if said.lower() in {"", "none", "no"}:
        return replace(set_out, given=frozenset())
    places = _places(said, len(asked))
    if places is None:
        return replace(set_out, message=f"Type numbers from 1 to {len(asked)}, or Enter for none.")
    given: frozenset[EventId] = frozenset()
    for place in places:
        given = with_event(set_out.library, given, asked[place].id)
    return replace(set_out, given=given)


def _kit_screen(set_out: SetOut) -> Screen:
    choices = [Choice(str(number), one.title) for number, one in enumerate(_kits(set_out.library), start=1)]
    choices.append(Choice(str(len(choices) + 1), "Let me pick the tools and spares"))
    return Screen(
        "Tools and spares", "What is at hand?", choices=tuple(choices), keys=KEYS, prompt="Number or word"
    )


def _kit_heard(set_out: SetOut, said: str) -> SetOut:
    known = _kits(set_out.library)
    if said in {str(len(known) + 1), "pick"}:
        return replace(set_out, picking=True)
    place = _picked(said, [one.id for one in known], [one.title for one in known])
    if place is None:
        return replace(set_out, message=f"Type a number from 1 to {len(known) + 1}.")
    return replace(set_out, kit=known[place].id, items=known[place].items)


def _pick_screen(set_out: SetOut) -> Screen:
    choices = tuple(
        Choice(str(number), one.title) for number, one in enumerate(set_out.library.items.values(), start=1)
    )
    return Screen(
        "Tools and spares",
        "What is at hand? Pick all of it.",
        choices=choices,
        keys=KEYS,
        prompt="Numbers such as 1 3-6 12, or Enter for none",
    )


def _pick_heard(set_out: SetOut, said: str) -> SetOut:
    items = list(set_out.library.items)
    places = _places(said, len(items)) if said else ()
    if places is None:
        return replace(set_out, message=f"Type numbers from 1 to {len(items)}, such as 1 3-6 12.")
    return replace(set_out, kit="picked", items=frozenset(items[place] for place in places), picking=False)


def _ready_screen(_set_out: SetOut) -> Screen:
    return Screen("Ready", "Let us begin.")


def _ready_heard(set_out: SetOut, _said: str) -> SetOut:
    return set_out


def _kits(library: Library) -> tuple[Kit, ...]:
    return tuple(library.kits.values())


def _picked(said: str, ids: list[str], titles: list[str]) -> int | None:
    """The one choice meant by a number, an id, or the beginning or a part of a title."""
    word = said.lower()
    if word.isdecimal():
        return int(word) - 1 if 1 <= int(word) <= len(ids) else None
    if not word:
        return None
    if word in ids:
        return ids.index(word)
    found = [
        place
        for place, (id_, title) in enumerate(zip(ids, titles, strict=True))
        if word in title.lower() or word in id_
    ]
    return found[0] if len(found) == 1 else None


def _places(said: str, count: int) -> tuple[int, ...] | None:
    """Places from numbers and spans such as `1 3-6`; None when one is out of range or no number."""
    places: list[int] = []
    for part in said.replace(",", " ").split():
        first, dash, last = part.partition("-")
        if not first.isdecimal() or (dash and not last.isdecimal()):
            return None
        span = range(int(first), int(last or first) + 1)
        if not span or span[0] < 1 or span[-1] > count:
            return None
        places += [number - 1 for number in span]
    return tuple(places)


_SCREENS = {
    Stage.MACHINE: _machine_screen,
    Stage.COMPLAINT: _complaint_screen,
    Stage.CONFIRM: _confirm_screen,
    Stage.SITUATION: _situation_screen,
    Stage.KIT: _kit_screen,
    Stage.PICK: _pick_screen,
    Stage.READY: _ready_screen,
}
_HEARD = {
    Stage.MACHINE: _machine_heard,
    Stage.COMPLAINT: _complaint_heard,
    Stage.CONFIRM: _confirm_heard,
    Stage.SITUATION: _situation_heard,
    Stage.KIT: _kit_heard,
    Stage.PICK: _pick_heard,
    Stage.READY: _ready_heard,
}
