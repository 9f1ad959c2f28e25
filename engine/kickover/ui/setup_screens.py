"""The screens of setting out, and the words that can be typed on each."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from kickover.ui.screen import Choice, Screen
from kickover.ui.setup import (
    SetupStage,
    SetupState,
    asked_houses,
    handle_setup_input,
    kits_of,
    machines_of,
    understood_houses,
)

KEYS = (Choice("back", "go back"), Choice("help", "how to answer"), Choice("quit", "stop"))


@dataclass(frozen=True, slots=True)
class SetupWizard:
    """Setting out as a conversation."""

    now: SetupState

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
            case SetupStage.MACHINE:
                return (*(one.id for one in machines_of(self.now)), "new")
            case SetupStage.NEW if self.now.new is not None:
                return self.now.new.words()
            case SetupStage.COMPLAINT | SetupStage.CONFIRM:
                return (
                    *(
                        word
                        for complaint in library.complaints.values()
                        for word in (complaint.id, *complaint.words)
                    ),
                    "list",
                )
            case SetupStage.SITUATION:
                return (*(asked_house.id for asked_house in asked_houses(self.now)), "none")
            case SetupStage.KIT:
                return (*library.kits, "pick")
            case SetupStage.PICK:
                return tuple(library.items)
            case _:
                return ()


def handle_wizard_input(wizard: SetupWizard, text: str) -> SetupWizard:
    """What a typed line does."""
    return SetupWizard(handle_setup_input(wizard.now, text))


def _machine(setup_state: SetupState) -> Screen:
    known = machines_of(setup_state)
    choices = [Choice(str(number), one.title) for number, one in enumerate(known, start=1)]
    choices.append(Choice(str(len(choices) + 1), "Another one: write it down in a minute"))
    return Screen(
        "Kickover",
        "Which machine is it?",
        choices=tuple(choices),
        keys=(Choice("new", "write one down"), *KEYS),
        prompt="Number or word",
        at_once=True,
    )


def _new(setup_state: SetupState) -> Screen:
    assert setup_state.new is not None
    return setup_state.new.screen()


def _complaint(setup_state: SetupState) -> Screen:
    assert setup_state.machine is not None
    return Screen(
        setup_state.machine.title,
        "What is wrong? Say it in your own words.",
        body=("For example: won't start, dies when hot, no spark, shakes, bolts come loose.",),
        facts=("list shows every complaint.",),
        keys=(Choice("list", "all complaints"), *KEYS),
        prompt="Your words",
    )


def _confirm(setup_state: SetupState) -> Screen:
    complaints = setup_state.library.complaints
    return Screen(
        "What is wrong",
        "Is it one of these?",
        choices=tuple(
            Choice(str(number), complaints[one].title)
            for number, one in enumerate(setup_state.matched, start=1)
        ),
        facts=(
            ("Several at once: 1 3. " if len(setup_state.matched) > 1 else "") + "Or say it in other words.",
        ),
        keys=(Choice("list", "all complaints"), *KEYS),
        prompt="Number, or Enter for 1",
    )


def _situation(setup_state: SetupState) -> Screen:
    asked, understood = asked_houses(setup_state), understood_houses(setup_state)
    told = " ".join(str(number) for number, one in enumerate(asked, start=1) if one.id in understood)
    return Screen(
        "What happened before",
        "Which of these are true?",
        choices=tuple(
            Choice(str(number), f"{one.title}{' (as you said)' if one.id in understood else ''}")
            for number, one in enumerate(asked, start=1)
        ),
        keys=KEYS,
        prompt=f"Enter for {told}, or numbers, or none" if told else "Numbers such as 1 4, or Enter for none",
    )


def _kit(setup_state: SetupState) -> Screen:
    choices = [
        Choice(str(number), one.title) for number, one in enumerate(kits_of(setup_state.library), start=1)
    ]
    choices.append(Choice(str(len(choices) + 1), "Let me pick the tools and spares"))
    return Screen(
        "Tools and spares",
        "What is at hand?",
        choices=tuple(choices),
        keys=KEYS,
        prompt="Number or word",
        at_once=True,
    )


def _pick(setup_state: SetupState) -> Screen:
    return Screen(
        "Tools and spares",
        "What is at hand? Pick all of it.",
        choices=tuple(
            Choice(str(number), item.title)
            for number, item in enumerate(setup_state.library.items.values(), start=1)
        ),
        keys=KEYS,
        prompt="Numbers such as 1 3-6 12, or Enter for none",
    )


def _ready(_set_out: SetupState) -> Screen:
    return Screen("Ready", "Let us begin.")


_SCREENS: Mapping[SetupStage, Callable[[SetupState], Screen]] = {
    SetupStage.MACHINE: _machine,
    SetupStage.NEW: _new,
    SetupStage.COMPLAINT: _complaint,
    SetupStage.CONFIRM: _confirm,
    SetupStage.SITUATION: _situation,
    SetupStage.KIT: _kit,
    SetupStage.PICK: _pick,
    SetupStage.READY: _ready,
}
