"""The conversation of a walk as a value: the walk, what is on its screen, and what was just said."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from kickover.core.ids import CheckId
from kickover.core.problem import KickoverError
from kickover.session.entries import Answered, Entry, Measured, Proved
from kickover.session.history import doubt_in_words, doubtful
from kickover.session.instrument import ROUGH_WORD, Instrument
from kickover.session.own_words import Sign
from kickover.session.session import Phase, Session, Task
from kickover.ui.asking import how_page, step_screen
from kickover.ui.pages import (
    answers_page,
    caution_page,
    help_page,
    likely_page,
    off_page,
    other_page,
    saw_page,
    why_page,
)
from kickover.ui.screen import Screen

COMMAND_WORDS = (
    "how",
    "why",
    "likely",
    "answers",
    "help",
    "back",
    "skip",
    "cannot",
    "other",
    "saw",
    "note",
    "change",
    "again",
    "settle",
    "caution",
    "off",
    "hot",
    "cold",
    "stop",
    "quit",
)
"""The words of the walk, for completion and for near ones; an answer of the same name comes before them."""


class DialoguePage(StrEnum):
    """What is on the screen."""

    STEP = "step"
    WHY = "why"
    LIKELY = "likely"
    ANSWERS = "answers"
    OTHER = "other"
    SAW = "saw"
    HOW = "how"
    CAUTION = "caution"
    OFF = "off"
    HELP = "help"


@dataclass(frozen=True, slots=True)
class Dialogue:
    """A walk and what is on its screen.

    `message` answers the last line; `guessing` makes the next pick a guess, and `rough` the next reading one
    of a poor instrument; `changing` is the number of the entry that is being answered anew, 0 for none (the
    walk itself stays as it was until then); `repeating` is a check that is made again; `doubted` the check
    that was last pointed out; `seen` are the signs that a rider's words may mean.
    """

    session: Session
    page: DialoguePage = DialoguePage.STEP
    message: str = ""
    guessing: bool = False
    rough: Instrument | None = None
    changing: int = 0
    repeating: str = ""
    doubted: str = ""
    seen: tuple[Sign, ...] = ()
    left: bool = False

    @property
    def over(self) -> bool:
        """True when there is nothing more to ask."""
        return self.left

    @property
    def view(self) -> Session:
        """The walk as the question on the screen sees it: earlier, while an answer is changed."""
        return self.session.at(self.changing - 1) if self.changing else self.session

    def words(self) -> tuple[str, ...]:
        """What can be typed now, for completion."""
        task = self.task()
        check = self.session.model.checks.get(CheckId(task.id)) if task.phase is Phase.CHECK else None
        findings = [finding.id for finding in check.findings] if check and check.reading is None else []
        repeats = [f"again {one.check}" for one in self.session.evidence]
        rough = [ROUGH_WORD] if check and check.reading is not None else []
        return (*findings, *COMMAND_WORDS, *rough, *repeats)

    def task(self) -> Task:
        """What is asked now."""
        name = self.repeating
        if self.changing:
            changed = self.session.entries[self.changing - 1]
            name = changed.check if isinstance(changed, Answered | Measured) else ""
        if name:
            check = self.session.library.checks[CheckId(name)]
            return Task(Phase.CHECK, check.id, check.needs.minutes)
        return self.view.task()

    def screen(self) -> Screen:
        """What to show."""
        match self.page:
            case DialoguePage.WHY:
                return why_page(self.session)
            case DialoguePage.LIKELY:
                return likely_page(self.session)
            case DialoguePage.ANSWERS:
                return answers_page(self.session)
            case DialoguePage.OTHER:
                return other_page(self.session)
            case DialoguePage.SAW:
                return saw_page(self.seen)
            case DialoguePage.HOW:
                return how_page(self.view, self.task())
            case DialoguePage.CAUTION:
                return caution_page(self.view, self.task())
            case DialoguePage.OFF:
                return off_page(self.session)
            case DialoguePage.HELP:
                return help_page()
            case DialoguePage.STEP:
                return step_screen(self.view, self.task())


def recorded(dialogue: Dialogue, entry: Entry) -> Dialogue:
    """The dialogue after an entry; one that changes an earlier answer is followed by all later ones."""
    session = dialogue.view.record(entry)
    later = dialogue.session.entries[dialogue.changing :] if dialogue.changing else ()
    dropped = 0
    for one in later:
        try:
            if session.mended is not None or session.ended:
                dropped += 1
            else:
                session = session.record(one)
        except KickoverError:
            dropped += 1
    after = replace(
        dialogue,
        session=session,
        page=DialoguePage.STEP,
        changing=0,
        repeating="",
        guessing=False,
        rough=None,
        message="",
    )
    if dropped:
        return replace(after, message=f"Later answers that no longer fit were left out: {dropped}.")
    if isinstance(entry, Proved) and not entry.gone and not dialogue.changing:
        return _with_doubt(after, "Then it was not that alone. The walk goes on, knowing so.")
    if isinstance(entry, Answered | Measured):
        return _with_doubt(after)
    return after


def _with_doubt(dialogue: Dialogue, message: str = "") -> Dialogue:
    """Point out an answer that sits badly with the others, once for each, after what there is to say."""
    doubt = doubtful(dialogue.session)
    if doubt is None or doubt.check == dialogue.doubted:
        return replace(dialogue, doubted=doubt.check if doubt else "", message=message)
    said = f"{message} {doubt_in_words(dialogue.session, doubt)}".strip()
    return replace(dialogue, doubted=doubt.check, message=said)
