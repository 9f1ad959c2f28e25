"""The screens of setting out, and the words that can be typed on each."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from kickover.ui.screen import Choice, Screen
from kickover.ui.setup import SetOut, Stage, asked_houses, kits_of, machines_of, set_out_heard

KEYS = (Choice("back", "go back"), Choice("quit", "stop"))


@dataclass(frozen=True, slots=True)
class Outset:
    """Setting out as a conversation."""

    now: SetOut

    @property
    def over(self) -> bool:
        """True when all is known, or the person left."""
        return self.now.over

    @property
    def message(self) -> str:
        """The reply to the last line."""
        return self.now.message

    def screen(self) -> Screen:
        """What to show."""
        return _SCREENS[self.now.stage](self.now)

    def words(self) -> tuple[str, ...]:
        """What can be typed now, for completion."""
        library = self.now.library
        match self.now.stage:
            case Stage.MACHINE:
                return (*(one.id for one in machines_of(self.now)), "new")
            case Stage.NEW if self.now.new is not None:
                return self.now.new.words()
            case Stage.COMPLAINT | Stage.CONFIRM:
                return (
                    *(word for one in library.complaints.values() for word in (one.id, *one.words)),
                    "list",
                )
            case Stage.SITUATION:
                return (*(one.id for one in asked_houses(self.now)), "none")
            case Stage.KIT:
                return (*library.kits, "pick")
            case Stage.PICK:
                return tuple(library.items)
            case _:
                return ()


def outset_heard(outset: Outset, text: str) -> Outset:
    """What a typed line does."""
    return Outset(set_out_heard(outset.now, text))


def _machine(set_out: SetOut) -> Screen:
    known = machines_of(set_out)
    choices = [Choice(str(number), one.title) for number, one in enumerate(known, start=1)]
    choices.append(Choice(str(len(choices) + 1), "Another one: write it down in a minute"))
    return Screen(
        "Kickover",
        "Which machine is it?",
        choices=tuple(choices),
        keys=(Choice("new", "write one down"), *KEYS),
        prompt="Number or word",
    )


def _new(set_out: SetOut) -> Screen:
    assert set_out.new is not None
    return set_out.new.screen()


def _complaint(set_out: SetOut) -> Screen:
    assert set_out.machine is not None
    return Screen(
        set_out.machine.title,
        "What is wrong? Say it in your own words.",
        body=("For example: won't start, dies when hot, no spark, shakes, bolts come loose.",),
        facts=("list shows every complaint.",),
        keys=(Choice("list", "all complaints"), *KEYS),
        prompt="Your words",
    )


def _confirm(set_out: SetOut) -> Screen:
    complaints = set_out.library.complaints
    return Screen(
        "What is wrong",
        "Is it one of these?",
        choices=tuple(
            Choice(str(number), complaints[one].title) for number, one in enumerate(set_out.matched, start=1)
        ),
        facts=("Several at once: 1 3. None of them: type other words.",),
        keys=(Choice("list", "all complaints"), *KEYS),
        prompt="Number, or Enter for 1",
    )


def _situation(set_out: SetOut) -> Screen:
    return Screen(
        "What happened before",
        "Which of these are true?",
        choices=tuple(
            Choice(str(number), one.title) for number, one in enumerate(asked_houses(set_out), start=1)
        ),
        keys=KEYS,
        prompt="Numbers such as 1 4, or Enter for none",
    )


def _kit(set_out: SetOut) -> Screen:
    choices = [Choice(str(number), one.title) for number, one in enumerate(kits_of(set_out.library), start=1)]
    choices.append(Choice(str(len(choices) + 1), "Let me pick the tools and spares"))
    return Screen(
        "Tools and spares", "What is at hand?", choices=tuple(choices), keys=KEYS, prompt="Number or word"
    )


def _pick(set_out: SetOut) -> Screen:
    return Screen(
        "Tools and spares",
        "What is at hand? Pick all of it.",
        choices=tuple(
            Choice(str(number), one.title)
            for number, one in enumerate(set_out.library.items.values(), start=1)
        ),
        keys=KEYS,
        prompt="Numbers such as 1 3-6 12, or Enter for none",
    )


def _ready(_set_out: SetOut) -> Screen:
    return Screen("Ready", "Let us begin.")


_SCREENS: Mapping[Stage, Callable[[SetOut], Screen]] = {
    Stage.MACHINE: _machine,
    Stage.NEW: _new,
    Stage.COMPLAINT: _complaint,
    Stage.CONFIRM: _confirm,
    Stage.SITUATION: _situation,
    Stage.KIT: _kit,
    Stage.PICK: _pick,
    Stage.READY: _ready,
}
