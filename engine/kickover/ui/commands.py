"""The words of the walk, and what each does to the conversation."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from kickover.core.ids import CheckId, EventId
from kickover.core.near_names import nearest
from kickover.session.entries import Cannot, Chose, GaveUp, Noted, Skipped, Waited
from kickover.session.history import doubtful, least_fitting, settling_check
from kickover.session.own_words import signs
from kickover.session.session import Phase
from kickover.ui.dialogue import Dialogue, DialoguePage, recorded

TAKING_WORDS = frozenset({"saw", "note", "change", "again"})


def _page(page: DialoguePage) -> Callable[[Dialogue, str], Dialogue]:
    def turn(dialogue: Dialogue, _rest: str) -> Dialogue:
        return replace(dialogue, page=page, changing=0, repeating="")

    return turn


def _why(dialogue: Dialogue, _rest: str) -> Dialogue:
    if dialogue.session.chosen is not None:
        return _said(dialogue, "This step was picked by you; it is not weighed against others.")
    if dialogue.task().phase not in {Phase.CHECK, Phase.REPAIR, Phase.PREPARE} or dialogue.session.proving:
        return _said(dialogue, "There is nothing to weigh here; likely shows the causes.")
    return replace(dialogue, page=DialoguePage.WHY, changing=0, repeating="")


def _other(dialogue: Dialogue, _rest: str) -> Dialogue:
    if dialogue.session.proving or dialogue.session.mended or dialogue.session.ended:
        return _said(dialogue, "There is no other step here; back goes back.")
    return replace(dialogue, page=DialoguePage.OTHER, changing=0, repeating="")


def _back(dialogue: Dialogue, _rest: str) -> Dialogue:
    if dialogue.page is not DialoguePage.STEP or dialogue.repeating or dialogue.changing:
        return replace(dialogue, page=DialoguePage.STEP, repeating="", changing=0)
    if dialogue.session.before is None:
        return _said(dialogue, "This is the first step; there is nothing before it.")
    return replace(
        dialogue, session=dialogue.session.back(), guessing=False, rough=None, message="Taken back."
    )


def _skip(dialogue: Dialogue, _rest: str) -> Dialogue:
    task = dialogue.task()
    if dialogue.repeating or dialogue.changing:
        return replace(dialogue, repeating="", changing=0, page=DialoguePage.STEP)
    if task.phase is Phase.PREPARE and task.toward:
        return recorded(dialogue, Skipped(task.toward.id))
    if task.phase in {Phase.CHECK, Phase.REPAIR}:
        return recorded(dialogue, Skipped(task.id))
    return _said(dialogue, "This one cannot be skipped; cannot ends it.")


def cannot(dialogue: Dialogue, _rest: str = "") -> Dialogue:
    """Record that what is asked cannot be done; with a preparation, neither can the step it is for."""
    task = dialogue.task()
    if dialogue.repeating:
        return replace(dialogue, repeating="", page=DialoguePage.STEP)
    if task.phase in {Phase.MENDED, Phase.GIVEN_UP, Phase.GIVE_UP}:
        return _said(dialogue, "There is nothing to be done here.")
    toward = task.toward.id if task.phase is Phase.PREPARE and task.toward else ""
    return recorded(dialogue, Cannot(task.id, toward))


def _saw(dialogue: Dialogue, rest: str) -> Dialogue:
    if dialogue.session.ended or dialogue.session.mended:
        return _said(dialogue, "The walk is over; back goes on with it.")
    if not rest:
        return _said(dialogue, "Type what you saw after the word: saw the plug is wet")
    found = signs(rest, tuple(dialogue.session.model.checks.values()))
    if not found:
        return _said(dialogue, "That fits nothing that is asked here; try other words, or keep it: note ...")
    return replace(dialogue, page=DialoguePage.SAW, seen=found, changing=0, repeating="")


def _note(dialogue: Dialogue, rest: str) -> Dialogue:
    if not rest:
        return _said(dialogue, "Type the remark after the word: note smells of fuel")
    return replace(dialogue, session=dialogue.session.record(Noted(rest)), changing=0, message="Noted.")


def change(dialogue: Dialogue, rest: str) -> Dialogue:
    """Answer an earlier entry anew; until that is done, nothing is lost."""
    entries = dialogue.session.entries
    if not rest.isdecimal() or len(rest) > 4 or not 1 <= int(rest) <= len(entries):
        return replace(
            dialogue, page=DialoguePage.ANSWERS, message="Type change and the number of the answer."
        )
    return replace(
        dialogue,
        changing=int(rest),
        repeating="",
        page=DialoguePage.STEP,
        message="Answer it anew, or back to leave it; the later answers are kept.",
    )


def _again(dialogue: Dialogue, rest: str) -> Dialogue:
    made = tuple(one.check for one in dialogue.session.evidence)
    if not made:
        return _said(dialogue, "Nothing was answered yet, so there is nothing to make again.")
    wanted = rest or dialogue.doubted or next((one.check for one in least_fitting(dialogue.session)), "")
    if wanted not in made:
        near = nearest(wanted, made)
        known = ", ".join(sorted(made))
        hint = f"did you mean {near}?" if near else f"type again and a check that was made: {known}."
        return _said(dialogue, f"{hint[:1].upper()}{hint[1:]}")
    if dialogue.session.ended or dialogue.session.mended:
        return _said(dialogue, "The walk is over; back goes on with it.")
    reading = dialogue.session.library.checks[CheckId(wanted)].reading
    counted = "the readings are averaged" if reading is not None else "both answers count half"
    return replace(
        dialogue, page=DialoguePage.STEP, changing=0, repeating=wanted, message=f"Made again; {counted}."
    )


def _settle(dialogue: Dialogue, _rest: str) -> Dialogue:
    session = dialogue.session
    doubt = doubtful(session)
    check = settling_check(session, doubt) if doubt is not None else None
    if check is None or session.ended or session.mended:
        return _said(dialogue, "There is no doubt to settle.")
    return recorded(replace(dialogue, changing=0), Chose(check))


def _heat(event: str, words: str) -> Callable[[Dialogue, str], Dialogue]:
    def turn(dialogue: Dialogue, _rest: str) -> Dialogue:
        session = dialogue.session
        if event not in session.library.houses:
            return _said(dialogue, "This library knows nothing of heat.")
        if session.ended or session.mended:
            return _said(dialogue, "The walk is over; back goes on with it.")
        after = recorded(replace(dialogue, changing=0), Waited(EventId(event), told=True))
        return replace(after, message=f"From now on the engine counts as {words}.")

    return turn


def _stop(dialogue: Dialogue, _rest: str) -> Dialogue:
    if dialogue.session.ended or dialogue.session.mended:
        return replace(dialogue, left=True)
    return recorded(replace(dialogue, changing=0), GaveUp())


def _quit(dialogue: Dialogue, _rest: str) -> Dialogue:
    return replace(dialogue, left=True)


def _said(dialogue: Dialogue, message: str) -> Dialogue:
    return replace(dialogue, page=DialoguePage.STEP, message=message)


COMMANDS: Mapping[str, Callable[[Dialogue, str], Dialogue]] = {
    "why": _why,
    "likely": _page(DialoguePage.LIKELY),
    "answers": _page(DialoguePage.ANSWERS),
    "how": _page(DialoguePage.HOW),
    "caution": _page(DialoguePage.CAUTION),
    "off": _page(DialoguePage.OFF),
    "help": _page(DialoguePage.HELP),
    "?": _page(DialoguePage.HELP),
    "back": _back,
    "skip": _skip,
    "cannot": cannot,
    "other": _other,
    "saw": _saw,
    "note": _note,
    "change": change,
    "again": _again,
    "settle": _settle,
    "hot": _heat("engine-hot", "hot"),
    "cold": _heat("engine-cold", "cold"),
    "stop": _stop,
    "quit": _quit,
}
