"""What a typed line does to the conversation. Never raises for what a person typed: it answers instead."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from kickover.core.ids import CheckId
from kickover.core.near_names import nearest
from kickover.core.problem import KickoverError
from kickover.inference.repair_effect import Change
from kickover.inference.soft_evidence import Sureness
from kickover.session.entries import (
    Answered,
    Chose,
    Entry,
    GaveUp,
    Measured,
    Prepared,
    Proved,
    PutOff,
    Repaired,
    Waited,
)
from kickover.session.instrument import Instrument, split_instrument
from kickover.session.interpreting import (
    MisreadError,
    cleaned,
    interpret,
    names_finding,
    refusal,
    takes_reading,
)
from kickover.session.journal import Journal, JournalError
from kickover.session.options import options
from kickover.session.session import Phase, Task
from kickover.session.wording import lower_first, sentence
from kickover.ui.commands import COMMANDS, TAKING_WORDS, cannot, change
from kickover.ui.dialogue import COMMAND_WORDS, Dialogue, DialoguePage, recorded

_UNSURE = frozenset({"not sure", "unsure", "don't know", "dont know", "no idea"})
ROUGH_TAKEN = "Then type what it shows; it counts as read on your own instrument."


def handle_input(dialogue: Dialogue, text: str) -> Dialogue:
    """What a typed line does."""
    before = replace(dialogue, message="")
    if refused := refusal(text):
        return replace(before, message=refused)
    said = cleaned(text)
    word, _, rest = said.partition(" ")
    command = COMMANDS.get(word.lower())
    try:
        if _names_finding(dialogue, said):
            return _answered(before, said)
        if command is not None and (not rest or word.lower() in TAKING_WORDS):
            return command(before, rest.strip())
        if dialogue.page is not DialoguePage.STEP:
            return _on_page(before, said)
        if said.lower() in _UNSURE and dialogue.task().phase is Phase.CHECK:
            message = "Then pick the nearer one; it counts as a guess. Or skip."
            return replace(before, guessing=True, message=message)
        if (instrument := _of_an_instrument(dialogue, said)) is not None:
            return replace(before, rough=instrument, message=ROUGH_TAKEN)
        return _answered(before, said)
    except KickoverError as error:
        return replace(before, page=DialoguePage.STEP, message=sentence(f"{error}{_near_word(word, said)}"))


def _of_an_instrument(dialogue: Dialogue, said: str) -> Instrument | None:
    """What a line says of the instrument alone, before the reading is typed."""
    left, instrument = split_instrument(said)
    task = dialogue.task()
    if left or instrument is None or task.phase is not Phase.CHECK:
        return None
    if not takes_reading(dialogue.session.library.checks[CheckId(task.id)]):
        raise MisreadError("nothing is read off an instrument here; say it where a reading is asked for")
    return instrument


def _names_finding(dialogue: Dialogue, said: str) -> bool:
    """True when the word is an answer to the check on the screen, though it may be a word of the walk too."""
    task = dialogue.task()
    if dialogue.page is not DialoguePage.STEP or task.phase is not Phase.CHECK:
        return False
    return names_finding(dialogue.session.library.checks[CheckId(task.id)], said)


def _on_page(dialogue: Dialogue, said: str) -> Dialogue:
    """A line that is typed on a page: picks from it, or turns back to the question."""
    if dialogue.page is DialoguePage.OTHER and said.isdecimal() and len(said) < 4:
        offered = options(dialogue.session)
        if not 1 <= int(said) <= len(offered):
            return replace(dialogue, message=f"Type a number from 1 to {len(offered)}, or Enter.")
        return recorded(dialogue, Chose(offered[int(said) - 1].id))
    if dialogue.page is DialoguePage.SAW and said.isdecimal() and len(said) < 3:
        if not 1 <= int(said) <= len(dialogue.seen):
            return replace(dialogue, message=f"Type a number from 1 to {len(dialogue.seen)}, or Enter.")
        sign = dialogue.seen[int(said) - 1]
        told = recorded(dialogue, Answered(sign.check.id, sign.finding.id))
        return replace(told, message=f"Counted: {lower_first(sign.finding.title)}. {told.message}".strip())
    if dialogue.page is DialoguePage.ANSWERS and said.isdecimal():
        return change(dialogue, said)
    message = "Back at the question; nothing was recorded." if said else ""
    return replace(dialogue, page=DialoguePage.STEP, message=message)


def _answered(dialogue: Dialogue, said: str) -> Dialogue:
    task = dialogue.task()
    match task.phase:
        case Phase.MENDED | Phase.FOUND | Phase.GIVEN_UP:
            if said:
                raise MisreadError("the walk is over; Enter finishes it, back goes on with it")
            return replace(dialogue, left=True)
        case Phase.CHECK:
            return _check_answered(dialogue, task, said)
        case Phase.PREPARE:
            return _prepared(dialogue, task) if _affirmed(said) else cannot(dialogue)
        case Phase.REPAIR:
            return recorded(dialogue, Repaired(task.id)) if _affirmed(said) else cannot(dialogue)
        case Phase.PROOF:
            return recorded(dialogue, _proved(said, later=dialogue.session.worth_before_proof() is not None))
        case Phase.GIVE_UP:
            if not _affirmed(said):
                raise MisreadError("type 1 to stop here, or back, or other for another step")
            return recorded(dialogue, GaveUp())


def _prepared(dialogue: Dialogue, task: Task) -> Dialogue:
    assert task.preparation is not None
    if task.preparation.wait_for is not None:
        return recorded(dialogue, Waited(task.preparation.wait_for))
    return recorded(dialogue, Prepared(task.id, task.preparation.undo))


def _check_answered(dialogue: Dialogue, task: Task, said: str) -> Dialogue:
    check = dialogue.session.library.checks[CheckId(task.id)]
    entry = interpret(check, said)
    if dialogue.guessing and entry.sureness is Sureness.SURE:
        entry = replace(entry, sureness=Sureness.GUESS)
    if dialogue.rough is not None and isinstance(entry, Measured) and check.reading and not entry.error:
        error = dialogue.rough.error(check.reading, (entry.low + entry.high) / 2.0)
        entry = replace(entry, error=error)
    return recorded(dialogue, entry)


_PROOF_WORDS: Mapping[str, Proved | PutOff] = {
    **dict.fromkeys(("1", "y", "yes", "cured", "ok"), Proved(True)),
    **dict.fromkeys(("2", "same"), Proved(False, Change.SAME)),
    **dict.fromkeys(("3", "better"), Proved(False, Change.BETTER)),
    **dict.fromkeys(("4", "worse"), Proved(False, Change.WORSE)),
    **dict.fromkeys(("n", "no"), Proved(False)),
    **dict.fromkeys(("5", "later"), PutOff()),
}
"""What may be said of a proof; a plain no does not say how it has changed."""


def _proved(said: str, later: bool) -> Proved | PutOff:
    if said.lower() not in _PROOF_WORDS or (said == "5" and not later):
        raise MisreadError(f"type the number of an outcome, from 1 to {5 if later else 4}")
    return _PROOF_WORDS[said.lower()]


def _affirmed(said: str) -> bool:
    word = said.lower()
    if word in {"1", "y", "yes", "done", "ok", "d"}:
        return True
    if word in {"2", "n", "no"}:
        return False
    raise MisreadError("type 1 or 2" if word else "type 1 or 2; Enter alone does nothing here")


def _near_word(word: str, said: str) -> str:
    """A word of the walk that is nearly what was typed."""
    near = nearest(word.lower(), COMMAND_WORDS) if 3 <= len(word) <= 12 and " " not in said else ""
    return f"; did you mean the word {near}?" if near else ""


RENEWED = "The file of this walk was gone or replaced; it is written anew, with everything in it."


class JournaledDialogue:
    """Hears lines and keeps their entries in a journal.

    When the disk refuses (full, pulled out), the walk goes on, says so with each step, and tries again to
    save all that is missing. Without a journal nothing is kept.
    """

    def __init__(self, journal: Journal | None, kept: Sequence[Entry], trouble: str = "") -> None:
        self._journal = journal
        self._kept = tuple(kept)
        self._renewed = False
        self.trouble = trouble

    def hear(self, before: Dialogue, text: str) -> Dialogue:
        """What a typed line does, kept."""
        after = handle_input(before, text)
        self.keep(after.session.entries)
        told = f"NOT SAVED: {self.trouble}." if self.trouble else RENEWED if self._renewed else ""
        return replace(after, message=f"{after.message} {told}".strip()) if told else after

    def keep(self, entries: Sequence[Entry]) -> None:
        """Bring the journal up to `entries`; `trouble` says why where that fails."""
        if self._journal is None:
            return
        try:
            self._renewed = self._journal.renewed()
            self._journal.keep(self._kept, entries)
        except JournalError as error:
            self.trouble = str(error)
        else:
            self._kept = tuple(entries)
            self.trouble = ""

    def close(self, outcome: str) -> None:
        """Keep that the walk has ended."""
        if self._journal is None or self.trouble:
            return
        try:
            self._journal.write_closed(outcome)
        except JournalError as error:
            self.trouble = str(error)
