"""The pages that are shown on request: why, likely, answers, another step, help."""

from __future__ import annotations

from collections.abc import Sequence

from kickover.core.ids import CheckId, RepairId
from kickover.inference.belief import Ranked
from kickover.inference.compiled_model import EngineState
from kickover.planning.explanation import Prospect, minutes_saved, prospects
from kickover.planning.plan import Plan, Step, StepKind
from kickover.session.history import entry_in_words, for_and_against
from kickover.session.options import OtherRepair, OtherStep, options, other_ways
from kickover.session.outcome import items_in_words, what_is_off
from kickover.session.own_words import Sign
from kickover.session.session import Phase, Session, Task
from kickover.session.wording import (
    chance_in_words,
    lower_first,
    minutes_in_words,
    percent,
    sentence,
    step_title,
    why,
)
from kickover.ui.screen import RETURN, Choice, Screen, Table, bars, cautions_of

_TRUSTED = 0.02
"""Shares that differ by less are not set against each other (estimate)."""

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
    ("how", "how this step is done, where it is not on the screen"),
    ("why", "why this step, and what each answer would do"),
    ("likely", "the likely causes, with what speaks for and against them"),
    ("answers", "all that was answered; change 3 to change number 3"),
    ("again NAME", "make a check again; readings are averaged"),
    ("settle", "the check that settles a doubt that was pointed out"),
    ("caution", "the cautions of this step in full"),
    ("off", "what is off, open or parted now"),
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
    """Why the next step: what each answer would do to the two leading causes, and the minutes it saves."""
    planned = session.plan()
    step = planned.next
    legend: tuple[str, ...] = ()
    table: Table | None = None
    if step.kind is StepKind.CHECK:
        legend, table = _prospects_table(session, step)
    mended = f"About {minutes_in_words(planned.usual)} from here to a proven repair, on average."
    return Screen(
        "Why this step",
        sentence(f"{step_title(session.library, step)}: {why(session, planned)}"),
        body=legend,
        table=table,
        facts=(mended, *_next_best(session, planned)),
        keys=RETURN,
        prompt="Enter to go on",
    )


def _prospects_table(session: Session, step: Step) -> tuple[tuple[str, ...], Table]:
    """What each finding of a check would do to the two causes that lead now, and which they are."""
    state = EngineState(step.step_cost.after.houses, session.belief.made)
    findings = session.model.checks[CheckId(step.id)].findings
    leading = session.belief.ranking()[:2]
    marks = "AB"[: len(leading)]
    legend = tuple(
        f"{mark} = {session.library.title_of(one.cause)}" for mark, one in zip(marks, leading, strict=True)
    )
    rows = [("As it stands", "", *(percent(one.probability) for one in leading))]
    for finding, prospect in zip(
        findings, prospects(session.belief, CheckId(step.id), state, len(leading)), strict=True
    ):
        cells = (_moved(one, prospect) for one in leading)
        rows.append((finding.title, percent(prospect.probability), *cells))
    return legend, Table(("If it is", "chance", *marks), tuple(rows))


def _moved(now: Ranked, prospect: Prospect) -> str:
    """A cause's share after a finding; a change too small to be trusted is not set out."""
    after = prospect.marginals.get(now.cause, 0.0)
    return "as now" if abs(after - now.probability) < _TRUSTED else percent(after)


def _next_best(session: Session, planned: Plan) -> list[str]:
    others = [step for step in planned.steps[1:] if step.kind is not StepKind.GIVE_UP]
    if not others:
        return []
    title = lower_first(step_title(session.library, others[0]))
    saved = minutes_saved(planned)
    slower = "hardly slower" if saved < 0.75 else f"{minutes_in_words(saved)} slower"
    return [f"Next best, {slower}: {title}."]


def likely_page(session: Session) -> Screen:
    """The likely causes, and what speaks for and against the two that lead."""
    ranked = [one for one in session.belief.ranking()[:6] if one.probability >= 0.005]
    lead = "None of the causes in the library fits what was found."
    if session.belief.fits and ranked:
        lead = f"{session.library.title_of(ranked[0].cause)}: {chance_in_words(ranked[0].probability)}."
    body: list[str] = []
    reasons = for_and_against(session, tuple(one.cause for one in ranked[:2]))
    for cause, lines in reasons.items():
        if lines:
            body += [f"{session.library.title_of(cause)}:", *(f"  {line}" for line in lines)]
    return Screen(
        "Likely causes", lead, shares=bars(session), body=tuple(body), keys=RETURN, prompt="Enter to go on"
    )


def caution_page(session: Session, task: Task) -> Screen:
    """The cautions of the step in full."""
    cautions = cautions_of(session, task)
    lead = "At this step:" if cautions else "This step has no caution of its own."
    return Screen("Cautions", lead, cautions=cautions, keys=RETURN, prompt="Enter to go on")


def off_page(session: Session) -> Screen:
    """What is off, open or parted now, each by what putting it back is called."""
    undone = what_is_off(session)
    lead = "Off, open or parted now:" if undone else "Everything is in its place."
    return Screen("What is off", lead, body=undone, keys=RETURN, prompt="Enter to go on")


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
    task = session.task()
    ways: tuple[str, ...] = ()
    if task.phase is Phase.REPAIR:
        repair = session.model.repairs[RepairId(task.id)]
        ways = tuple(_way_in_words(session, way) for way in other_ways(session, repair))
    return Screen(
        "Another step",
        "Pick another step:" if choices else "There is no other step that can be done now.",
        body=ways,
        choices=choices,
        keys=RETURN,
        prompt="Number, or Enter to go back",
        at_once=True,
    )


def _way_in_words(session: Session, way: OtherRepair) -> str:
    """Another repair of the same cause: how long, and what it needs that is or is not at hand."""
    kind = "roadside" if way.repair.roadside else "lasting"
    words = f"Or ({kind}): {lower_first(way.repair.title)}, {minutes_in_words(way.minutes)}"
    if way.repair.needs.waiting >= 0.75:
        words += f", {way.repair.needs.waiting:.0f} of them waiting"
    if way.missing:
        return f"{words}; not at hand: {items_in_words(session, way.missing)}."
    needed = (*way.repair.needs.tools, *way.repair.needs.spares)
    return f"{words}, with {items_in_words(session, needed)}." if needed else f"{words}."


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
        keys=RETURN,
        prompt="Number, or Enter for none of them",
        at_once=True,
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
