"""The conversation of a walk: what a typed line does, and what is shown next. A pure state machine.

`heard` never raises for what a person typed; it answers with a message instead.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from kickover.ids import CheckId, EventId
from kickover.problem import KickoverError
from kickover.reason.answers import Sureness
from kickover.walk.entries import (
    Answered,
    Cannot,
    Entry,
    GaveUp,
    Measured,
    Noted,
    Prepared,
    Proved,
    Repaired,
    Skipped,
    Waited,
)
from kickover.walk.history import doubt_in_words, doubtful
from kickover.walk.interpret import MisreadError, interpret
from kickover.walk.pages import answers_page, help_page, likely_page, why_page
from kickover.walk.screen import Screen, step_screen
from kickover.walk.session import Phase, Session, Task


class Page(StrEnum):
    """What is on the screen."""

    STEP = "step"
    WHY = "why"
    LIKELY = "likely"
    ANSWERS = "answers"
    HELP = "help"


@dataclass(frozen=True, slots=True)
class Dialogue:
    """A walk and what is on its screen.

    `message` answers the last line; `guessing` makes the next pick a guess; `later` are answers to be
    recorded again once an earlier one was changed; `repeating` is a check that is made again.
    """

    session: Session
    page: Page = Page.STEP
    message: str = ""
    guessing: bool = False
    later: tuple[Entry, ...] = ()
    repeating: str = ""
    left: bool = False

    @property
    def over(self) -> bool:
        """True when there is nothing more to ask."""
        return self.left

    def words(self) -> tuple[str, ...]:
        """What can be typed now, for completion."""
        task = self.task()
        check = self.session.model.checks.get(CheckId(task.id)) if task.phase is Phase.CHECK else None
        findings = [finding.id for finding in check.findings] if check and check.reading is None else []
        repeats = [f"again {one.check}" for one in self.session.evidence]
        return (*findings, *COMMANDS, *repeats)

    def task(self) -> Task:
        """What is asked now."""
        if self.repeating:
            check = self.session.library.checks[CheckId(self.repeating)]
            return Task(Phase.CHECK, check.id, check.needs.minutes)
        return self.session.task()

    def screen(self) -> Screen:
        """What to show."""
        match self.page:
            case Page.WHY:
                return why_page(self.session)
            case Page.LIKELY:
                return likely_page(self.session)
            case Page.ANSWERS:
                return answers_page(self.session)
            case Page.HELP:
                return help_page()
            case Page.STEP:
                return step_screen(self.session, self.task())


def heard(dialogue: Dialogue, text: str) -> Dialogue:
    """What a typed line does."""
    said = " ".join(text.split())
    before = replace(dialogue, message="")
    if dialogue.page is not Page.STEP and not said:
        return replace(before, page=Page.STEP)
    word, _, rest = said.partition(" ")
    command = COMMANDS.get(word.lower())
    if command is not None and (not rest or word.lower() in TAKING_WORDS):
        return command(before, rest.strip())
    if said.lower() in {"not sure", "unsure", "don't know", "dont know"}:
        return replace(
            before,
            page=Page.STEP,
            guessing=True,
            message="Then pick the nearer one; it counts as a guess. Or skip.",
        )
    try:
        return _answered(replace(before, page=Page.STEP), said)
    except KickoverError as error:
        return replace(before, page=Page.STEP, message=_sentence(str(error)))


def _answered(dialogue: Dialogue, said: str) -> Dialogue:
    session = dialogue.session
    task = dialogue.task()
    match task.phase:
        case Phase.MENDED | Phase.GIVEN_UP:
            if said:
                raise MisreadError("the walk is over; Enter finishes it, back goes on with it")
            return replace(dialogue, left=True)
        case Phase.CHECK:
            return _check_answered(dialogue, task, said)
        case Phase.PREPARE:
            assert task.preparation is not None
            if not _affirmed(said):
                return _cannot(dialogue, "")
            if task.preparation.wait_for is not None:
                return _recorded(dialogue, Waited(task.preparation.wait_for))
            return _recorded(dialogue, Prepared(task.id, task.preparation.undo))
        case Phase.REPAIR:
            if not _affirmed(said):
                return _cannot(dialogue, "")
            return _recorded(dialogue, Repaired(task.id))
        case Phase.PROOF:
            return _recorded(dialogue, Proved(_affirmed(said)))
        case Phase.GIVE_UP:
            if not _affirmed(said):
                raise MisreadError("type 1 to stop here, or back, or a check to make again")
            return _recorded(replace(dialogue, session=session), GaveUp())


def _check_answered(dialogue: Dialogue, task: Task, said: str) -> Dialogue:
    check = dialogue.session.library.checks[CheckId(task.id)]
    entry = interpret(check, said)
    if dialogue.guessing and entry.sureness is Sureness.SURE:
        entry = replace(entry, sureness=Sureness.GUESS)
    return _recorded(replace(dialogue, repeating="", guessing=False), entry)


def _recorded(dialogue: Dialogue, entry: Entry) -> Dialogue:
    session = dialogue.session.record(entry)
    message = ""
    dropped = 0
    for later in dialogue.later:
        try:
            session = session.record(later)
        except KickoverError:
            dropped += 1
    if dropped:
        message = f"{dropped} later answers no longer fit and were left out."
    if isinstance(entry, Answered | Measured):
        doubt = doubtful(session)
        if doubt is not None:
            message = doubt_in_words(session, doubt)
    return replace(dialogue, session=session, later=(), message=message)


def _affirmed(said: str) -> bool:
    word = said.lower()
    if word in {"1", "y", "yes", "done", "ok", "d"}:
        return True
    if word in {"2", "n", "no"}:
        return False
    raise MisreadError("type 1 or 2" if word else "type 1 or 2; Enter alone does nothing here")


def _page(page: Page) -> Callable[[Dialogue, str], Dialogue]:
    def turn(dialogue: Dialogue, _rest: str) -> Dialogue:
        return replace(dialogue, page=page)

    return turn


def _why(dialogue: Dialogue, _rest: str) -> Dialogue:
    if dialogue.task().phase not in {Phase.CHECK, Phase.REPAIR, Phase.PREPARE} or dialogue.repeating:
        return replace(
            dialogue, page=Page.STEP, message="There is nothing to weigh here; likely shows the causes."
        )
    return replace(dialogue, page=Page.WHY)


def _back(dialogue: Dialogue, _rest: str) -> Dialogue:
    if dialogue.page is not Page.STEP or dialogue.repeating:
        return replace(dialogue, page=Page.STEP, repeating="")
    if dialogue.session.before is None:
        return replace(dialogue, message="This is the first step; there is nothing before it.")
    return replace(dialogue, session=dialogue.session.back(), guessing=False, later=(), message="Taken back.")


def _skip(dialogue: Dialogue, _rest: str) -> Dialogue:
    task = dialogue.task()
    if dialogue.repeating:
        return replace(dialogue, repeating="")
    target = task.toward.id if task.phase is Phase.PREPARE and task.toward else task.id
    if task.phase not in {Phase.CHECK, Phase.REPAIR} and not (task.phase is Phase.PREPARE and task.toward):
        return replace(dialogue, page=Page.STEP, message="This one cannot be skipped; cannot ends it.")
    return _recorded(replace(dialogue, page=Page.STEP), Skipped(target))


def _cannot(dialogue: Dialogue, _rest: str) -> Dialogue:
    task = dialogue.task()
    if task.phase in {Phase.MENDED, Phase.GIVEN_UP, Phase.GIVE_UP}:
        return replace(dialogue, page=Page.STEP, message="There is nothing to be done here.")
    if dialogue.repeating:
        return replace(dialogue, repeating="")
    return _recorded(replace(dialogue, page=Page.STEP), Cannot(task.id))


def _note(dialogue: Dialogue, rest: str) -> Dialogue:
    if not rest:
        return replace(dialogue, message="Type the remark after the word: note smells of fuel")
    return replace(dialogue, session=dialogue.session.record(Noted(rest)), message="Noted.")


def _change(dialogue: Dialogue, rest: str) -> Dialogue:
    entries = dialogue.session.entries
    if not rest.isdecimal() or not 1 <= int(rest) <= len(entries):
        return replace(dialogue, page=Page.ANSWERS, message="Type change and the number of the answer.")
    session = dialogue.session
    for _ in range(len(entries) - int(rest) + 1):
        session = session.back()
    changed, later = entries[int(rest) - 1], entries[int(rest) :]
    repeating = changed.check if isinstance(changed, Answered | Measured) else ""
    return replace(
        dialogue,
        session=session,
        later=later,
        repeating=repeating,
        page=Page.STEP,
        message="Answer it anew; the later answers are kept.",
    )


def _again(dialogue: Dialogue, rest: str) -> Dialogue:
    made = {one.check for one in dialogue.session.evidence}
    if rest not in made:
        known = ", ".join(sorted(made)) or "none yet"
        return replace(dialogue, message=f"Type again and the name of a check that was made: {known}.")
    return replace(dialogue, page=Page.STEP, repeating=rest, message="Made again; the answers are averaged.")


def _heat(event: str) -> Callable[[Dialogue, str], Dialogue]:
    def change(dialogue: Dialogue, _rest: str) -> Dialogue:
        if event not in dialogue.session.library.houses:
            return replace(dialogue, message="This library knows nothing of heat.")
        return replace(
            _recorded(dialogue, Waited(EventId(event))),
            page=Page.STEP,
            message="Noted: from now on the engine is as you say.",
        )

    return change


def _stop(dialogue: Dialogue, _rest: str) -> Dialogue:
    if dialogue.session.ended or dialogue.session.mended:
        return replace(dialogue, left=True)
    return replace(dialogue, session=dialogue.session.record(GaveUp()), page=Page.STEP)


def _quit(dialogue: Dialogue, _rest: str) -> Dialogue:
    return replace(dialogue, left=True)


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith(('.', '?', '!')) else '.'}"


COMMANDS: Mapping[str, Callable[[Dialogue, str], Dialogue]] = {
    "why": _why,
    "likely": _page(Page.LIKELY),
    "answers": _page(Page.ANSWERS),
    "help": _page(Page.HELP),
    "?": _page(Page.HELP),
    "back": _back,
    "skip": _skip,
    "cannot": _cannot,
    "note": _note,
    "change": _change,
    "again": _again,
    "hot": _heat("engine-hot"),
    "cold": _heat("engine-cold"),
    "stop": _stop,
    "quit": _quit,
}
"""The words of the walk; a choice of a check never uses one of them."""

TAKING_WORDS = frozenset({"note", "change", "again"})
