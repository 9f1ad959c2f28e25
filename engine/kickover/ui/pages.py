"""The pages that are shown on request: why, likely, answers, another step, help."""

from __future__ import annotations

from collections.abc import Sequence

from kickover.core.ids import CheckId
from kickover.inference.compiled_model import EngineState
from kickover.planning.explanation import minutes_saved, prospects
from kickover.planning.plan import Plan, Step, StepKind
from kickover.session.history import entry_in_words, likely_lines
from kickover.session.options import OtherStep, options
from kickover.session.session import Session
from kickover.session.signs import Sign
from kickover.session.wording import chance_in_words, minutes_in_words, percent, sentence, step_title, why
from kickover.ui.screen import Choice, Screen

RETURN = (Choice("Enter", "go on"), Choice("quit", "stop, saved"))

WORDS = (
    ("1, 2, ...", "pick a choice by its number; or type its first words"),
    ("62 psi", "a reading with its unit; 4.3bar, 0,4 kΩ and 35 thou are understood"),
    ("60-70 psi", "a reading between two values; over 8 bar, or OL where a meter shows no number"),
    (
        "62 psi rough",
        "read on a poor gauge, about 10 % off; or rough 20%, or within 1%",
    ),
    ("2 guess", "an answer that you are not sure of: fairly, or guess"),
    ("not sure", "the next pick counts as a guess"),
    ("why", "why this step, and what each answer would do"),
    ("likely", "the likely causes, with what speaks for and against each"),
    ("answers", "all that was answered; change 3 to change number 3"),
    ("again NAME", "make a check again; readings are averaged"),
    ("other", "pick another step yourself"),
    ("back", "take the last answer back, as often as you like"),
    ("saw WORDS", "tell what you saw, unasked: saw the plug is wet"),
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
        body += _prospects_in_words(session, step)
    body.append(
        f"From here it takes about {minutes_in_words(step.expected)} on average to a repair that is proven."
    )
    body += _next_best(session, planned)
    return Screen("Why this step", "Why this step?", body=tuple(body), keys=RETURN, prompt="Enter to go on")


def _prospects_in_words(session: Session, step: Step) -> list[str]:
    """For each finding of a check: how likely it is, and what it would do to the leading causes."""
    state = EngineState(step.step_cost.after.houses, session.belief.cured)
    findings = session.model.checks[CheckId(step.id)].findings
    now = session.belief.marginals()
    lines = []
    for finding, prospect in zip(
        findings, prospects(session.belief, CheckId(step.id), state, 2), strict=True
    ):
        moves = "; ".join(
            f"{session.library.title_of(one.cause)} {percent(now.get(one.cause, 0.0))} to "
            f"{percent(one.probability)}"
            for one in prospect.leading
        )
        lines.append(f'If "{finding.title}" (chance {percent(prospect.probability)}): {moves}.')
    return lines


def _next_best(session: Session, planned: Plan) -> list[str]:
    others = [step for step in planned.steps[1:] if step.kind is not StepKind.GIVE_UP]
    if not others:
        return []
    title = step_title(session.library, others[0])
    saved = minutes_saved(planned)
    if saved < 0.1:
        return [f"Next best, and hardly slower: {title}."]
    return [f"Next best: {title}; that would take {saved:.1f} minutes more on average."]


def likely_page(session: Session) -> Screen:
    """The likely causes, each with what speaks for and against it."""
    top = session.belief.ranking()[:1]
    lead = "None of the causes in the library fits what was found."
    if session.belief.fits and top:
        lead = f"{session.library.title_of(top[0].cause)}: {chance_in_words(top[0].probability)}."
    note = "In brackets: what an answer does to the odds, and in decibans (dB), 10 dB to a factor of ten."
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
        prompt="Enter to go on, or change N",
    )


def other_page(session: Session) -> Screen:
    """The steps that can be picked instead of the one that is asked."""
    choices = tuple(
        Choice(str(number), _option_in_words(option))
        for number, option in enumerate(options(session), start=1)
    )
    return Screen(
        "Another step",
        "Pick another step:" if choices else "There is no other step that can be done now.",
        choices=choices,
        facts=("The walk goes on by itself after it.",) if choices else (),
        keys=RETURN,
        prompt="Number, or Enter to go back",
    )


def _option_in_words(option: OtherStep) -> str:
    chance = "" if option.chance is None else f", cures it with {percent(option.chance)} chance"
    return f"{option.title}: {minutes_in_words(option.minutes)}{chance}"


def saw_page(seen: Sequence[Sign]) -> Screen:
    """The findings that a rider's own words may mean, to be confirmed."""
    choices = [
        Choice(str(number), f"{sign.check.ask} {sentence(sign.finding.title)}")
        for number, sign in enumerate(seen, start=1)
    ]
    return Screen(
        "What you saw",
        "Is it one of these?",
        choices=tuple(choices),
        facts=("It counts like an answer.",),
        keys=RETURN,
        prompt="Number, or Enter for none of them",
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
