"""The last screens: cured, with what to do so that it stays so; or stopped, with how to get home."""

from __future__ import annotations

from kickover.session.outcome import (
    LOCAL_RULES,
    borrowable,
    cure_in_words,
    getting_home,
    leading_causes,
    left_off,
    parting_check,
    reasons_to_stop,
)
from kickover.session.riding_bans import standing_stops
from kickover.session.session import Phase, Session, Task
from kickover.session.wording import minutes_in_words
from kickover.ui.screen import Choice, Screen, bars, progress


def mended_screen(session: Session) -> Screen:
    """The last screen of a cure: the cause, what was done, how it stays away, what to carry."""
    assert session.mended is not None
    return Screen(
        heading=f"It is cured, after about {minutes_in_words(session.minutes)}",
        lead="Well done.",
        stops=standing_stops(session),
        body=(*cure_in_words(session), *left_off(session), LOCAL_RULES),
        keys=(Choice("back", "go back"), Choice("answers", "what was found"), Choice("quit", "finish")),
        prompt="Finish with Enter",
    )


def give_up_screen(session: Session, task: Task) -> Screen:
    """The last screen without a cure: why, what would help, how to get home."""
    ended = task.phase in {Phase.GIVEN_UP, Phase.FOUND}
    body = [*reasons_to_stop(session), *leading_causes(session)]
    body += parting_check(session) if ended else borrowable(session)[:1]
    body += [*left_off(session), *getting_home(session)]
    keys = [Choice("back", "go back"), Choice("likely", "likely causes"), Choice("answers", "what was found")]
    if not ended:
        keys.append(Choice("other", "another step"))
    return Screen(
        heading=progress(session, "Stop here"),
        lead=_without_a_cure(task.phase),
        stops=standing_stops(session),
        body=(*body, LOCAL_RULES),
        choices=() if ended else (Choice("1", "Stop here"),),
        keys=(*keys, Choice("quit", "finish")),
        prompt="Finish with Enter" if ended else "Answer",
        at_once=not ended,
        aside=bars(session),
    )


def _without_a_cure(phase: Phase) -> str:
    if phase is Phase.FOUND:
        return "The cause is found; it is not mended yet."
    return "The walk ends without a confirmed repair." if phase is Phase.GIVEN_UP else "Stop here?"
