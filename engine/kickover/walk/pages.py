"""The pages that are shown on request: why, likely, answers, help."""

from __future__ import annotations

from kickover.ids import CheckId
from kickover.reason.explain import minutes_saved, prospects
from kickover.reason.model import EngineState
from kickover.reason.plan import StepKind
from kickover.walk.history import entry_in_words, likely_lines
from kickover.walk.screen import Choice, Screen
from kickover.walk.session import Session
from kickover.walk.wording import chance_in_words, minutes_in_words, percent, step_title, why

RETURN = (Choice("Enter", "go on"), Choice("quit", "stop, saved"))

WORDS = (
    ("1, 2, ...", "pick a choice by its number; or type its first words"),
    ("62 psi", "a reading with its unit; 4.3bar, 0,4 kΩ and 35 thou are understood"),
    ("60-70 psi", "a reading between two values"),
    ("2 guess", "an answer that you are not sure of: fairly, or guess"),
    ("not sure", "the next pick counts as a guess"),
    ("why", "why this step, and what each answer would do"),
    ("likely", "the likely causes, with what speaks for and against each"),
    ("answers", "all that was answered; change 3 to change number 3"),
    ("again NAME", "make a check again; readings are averaged"),
    ("back", "take the last answer back, as often as you like"),
    ("skip", "not now"),
    ("cannot", "cannot be done here: no tool, no part, no reach"),
    ("hot, cold", "the engine is hot now, or cold now"),
    ("note TEXT", "keep a remark with the walk"),
    ("stop", "end the walk without a repair"),
    ("quit", "leave; the walk is saved and can be resumed"),
)


def why_page(session: Session) -> Screen:
    """Why the next step: what it separates, what each answer would do, and the minutes it saves."""
    planned = session.plan()
    step = planned.next
    body = [f"{step_title(session.library, step)}: {why(session, planned)}."]
    if step.kind is StepKind.CHECK:
        state = EngineState(step.outlay.after.houses, session.belief.cured)
        findings = session.model.checks[CheckId(step.id)].findings
        for finding, prospect in zip(
            findings, prospects(session.belief, CheckId(step.id), state, 2), strict=True
        ):
            leading = ", ".join(
                f"{session.library.title_of(one.cause)} {percent(one.probability)}"
                for one in prospect.leading
            )
            body.append(f'"{finding.title}" ({percent(prospect.probability)}): then {leading}.')
    body.append(
        f"From here it takes about {minutes_in_words(step.expected)} on average to a repair that is proven."
    )
    saved = minutes_saved(planned)
    others = [one for one in planned.steps[1:] if one.kind is not StepKind.GIVE_UP]
    if others:
        body.append(
            f"Next best: {step_title(session.library, others[0])}, {saved:.1f} minutes slower on average."
        )
    return Screen("Why this step", "Why this step?", body=tuple(body), keys=RETURN, prompt="Enter to go on")


def likely_page(session: Session) -> Screen:
    """The likely causes, each with what speaks for and against it."""
    top = session.belief.ranking()[:1]
    lead = "Nothing fits what was found."
    if session.belief.fits and top:
        lead = f"{session.library.title_of(top[0].cause)}: {chance_in_words(top[0].probability)}."
    note = "For and against is counted in decibans (dB): 10 dB is a factor of ten in the odds."
    return Screen(
        "Likely causes", lead, body=(*likely_lines(session), note), keys=RETURN, prompt="Enter to go on"
    )


def answers_page(session: Session) -> Screen:
    """Everything that was recorded, numbered for `change N`."""
    body = tuple(
        f"{number}. {entry_in_words(session, entry)}" for number, entry in enumerate(session.entries, start=1)
    )
    return Screen(
        "What was found",
        "So far:" if body else "Nothing was answered yet.",
        body=body,
        keys=(Choice("change N", "change answer N"), *RETURN),
        prompt="Enter to go on",
    )


def help_page() -> Screen:
    """The words that the walk understands."""
    return Screen(
        "Help",
        "What you can type:",
        choices=tuple(Choice(word, does) for word, does in WORDS),
        keys=RETURN,
        prompt="Enter to go on",
    )
