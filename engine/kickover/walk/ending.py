"""The last screens: cured, with what to do so that it stays so; or stopped, with how to get home."""

from __future__ import annotations

from kickover.ids import EventId
from kickover.library.model import Repair
from kickover.walk.screen import (
    LOCAL_RULES,
    Choice,
    Screen,
    bars,
    confirmed_causes,
    items_in_words,
    progress,
)
from kickover.walk.session import Phase, Session, Task
from kickover.walk.stops import must_not_ride, standing_stops, unsafe_causes
from kickover.walk.wording import lower_first, minutes_in_words


def mended_screen(session: Session) -> Screen:
    """The last screen of a cure: the cause, what was done, how it stays away, what to carry."""
    assert session.mended is not None
    return Screen(
        heading=f"It is cured, after about {minutes_in_words(session.minutes)}",
        lead="Well done.",
        stops=standing_stops(session),
        body=(*cure_in_words(session), LOCAL_RULES),
        keys=(Choice("back", "go back"), Choice("answers", "what was found"), Choice("quit", "finish")),
        prompt="Finish with Enter",
    )


def cure_in_words(session: Session) -> tuple[str, ...]:
    """The cause, what was done, the lasting repair, prevention and what belongs in the kit."""
    assert session.mended is not None
    library = session.library
    repair = library.repairs[session.mended]
    causes = confirmed_causes(session)
    body = []
    if causes:
        body.append(f"The cause: {' or '.join(lower_first(library.title_of(cause)) for cause in causes)}.")
        body += [library.causes[cause].about for cause in causes[:1] if library.causes[cause].about]
    body.append(f"What was done: {lower_first(repair.title)}.")
    if repair.lasts:
        body.append(f"It lasts: {repair.lasts}.")
    body += _lasting_repairs(session, causes)
    prevention = [library.causes[cause].prevention for cause in causes] + [repair.prevention]
    body += [f"So that it does not come back: {words}" for words in dict.fromkeys(prevention) if words]
    carried = (*repair.needs.tools, *repair.needs.spares)
    if carried:
        body.append(f"Keep in the kit: {items_in_words(session, carried)}.")
    if repair.roadside and any(not library.causes[cause].ride for cause in causes):
        body.append("Do not ride it before the lasting repair has been made and looked over.")
    return tuple(body)


def _lasting_repairs(session: Session, causes: tuple[EventId, ...]) -> list[str]:
    """For a roadside repair, what to do at the bench, with what it needs."""
    assert session.mended is not None
    if not session.library.repairs[session.mended].roadside or not causes:
        return []
    return [
        f"At the bench, the lasting repair: {lower_first(repair.title)}, "
        f"{minutes_in_words(repair.needs.minutes)}{_with(session, repair)}."
        for repair in session.model.repairs.values()
        if not repair.roadside and causes[0] in repair.cures
    ]


def _with(session: Session, repair: Repair) -> str:
    needed = (*repair.needs.tools, *repair.needs.spares)
    return f", with {items_in_words(session, needed)}" if needed else ""


def give_up_screen(session: Session, task: Task) -> Screen:
    """The last screen without a cure: why, what would help, how to get home."""
    ended = task.phase is Phase.GIVEN_UP
    body = list(reasons_to_stop(session))
    if not ended:
        body += _borrowable(session)
    body += getting_home(session)
    keys = [Choice("back", "go back"), Choice("likely", "likely causes"), Choice("answers", "what was found")]
    if not ended:
        keys.append(Choice("other", "another step"))
    return Screen(
        heading=progress(session, "Stop here"),
        lead="The walk ends without a confirmed repair." if ended else "Stop here?",
        stops=standing_stops(session),
        body=(*body, LOCAL_RULES),
        choices=() if ended else (Choice("1", "Stop here"),),
        keys=(*keys, Choice("quit", "finish")),
        prompt="Finish with Enter" if ended else "Number or word",
        aside=bars(session),
    )


def reasons_to_stop(session: Session) -> tuple[str, ...]:
    """Why the walk ends, or would end, without a confirmed repair."""
    if session.proving is not None:
        title = lower_first(session.library.repairs[session.proving].title)
        return (f"This repair was made but not proven: {title}. Prove it before you rely on it.",)
    if not session.belief.fits:
        return (
            "None of the causes in the library fits what was found. Make the doubtful checks again, or show "
            "the report to a mechanic.",
        )
    return ("Nothing that can be done here with these tools is likely to be worth the time.",)


def getting_home(session: Session) -> tuple[str, ...]:
    """How to get home, or that the machine must not be ridden."""
    traits = session.model.machine.traits
    lines = []
    if must_not_ride(session):
        causes = [lower_first(session.library.title_of(cause)) for cause in unsafe_causes(session)]
        because = f" It may be this: {'; '.join(causes)}." if causes else ""
        lines.append(f"It must not be ridden as it is.{because} Push it, or have it fetched.")
    elif "clip-on" in traits:
        free = "clutch lever locked in" if "hand-clutch" in traits else "engine free of the wheel"
        lines.append(f"To get home: pedal it with the fuel tap shut and the {free}, or push it.")
    elif "pedal-start" in traits:
        lines.append("To get home: pedal it with the fuel tap shut and the engine out of gear, or push it.")
    else:
        lines.append("To get home: push it with the fuel tap shut, or have it fetched.")
    lines.append("A mechanic can go on from here: the report shows what was found.")
    return tuple(lines)


def _borrowable(session: Session) -> list[str]:
    """Steps that a tool or part from somebody else would make possible."""
    return [
        f"If you can borrow {items_in_words(session, items)}: {lower_first(title)}."
        for title, items in session.missing_steps()
    ]
