"""The screens of the walk: a check, a preparation, a repair, its proof, and the last ones."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from kickover.core.ids import CheckId, EventId, RepairId
from kickover.model.library import Check, CheckKind, Is, Library, Repair, Setup
from kickover.session.entries import Proved
from kickover.session.history import least_fitting
from kickover.session.instrument import ROUGH_WORD, usual_error_in_words
from kickover.session.options import other_ways
from kickover.session.outcome import (
    LOCAL_RULES,
    ROAD,
    borrowable,
    cure_in_words,
    getting_home,
    leading_causes,
    left_off,
    limits_of,
    parting_check,
    reasons_to_stop,
    standing_stops,
)
from kickover.session.session import Phase, Session, Task, needs_of
from kickover.session.wording import (
    figures_in_words,
    lower_first,
    minutes_in_words,
    preparation_figures,
    preparation_title,
    sentence,
    step_title,
)
from kickover.ui.screen import (
    CAUTION_KEY,
    RETURN,
    STEP_KEYS,
    Choice,
    Screen,
    bars,
    facts_of,
    new_cautions,
    progress,
    waiting_of,
)

MOST_WORDS = 150
"""The most words on the screen of a step (own choice)."""
_FOLDED = 12
"""Words that marks, and the line that more is to be had, take."""
_BRIEF = frozenset({CheckKind.QUESTION, CheckKind.LOOK})
HOW_KEY = Choice("how", "how to")
PROMPT = "Answer"
DONE = (Choice("1", "Done"), Choice("2", "Cannot"))
LOOKED_OVER = (Choice("1", "Done, and all is well"), Choice("2", "Something is wrong, or cannot do it"))
NOT_ON_THE_ROAD = "Do not ride it for the proof while a STOP stands: put that right first, or type cannot."


def step_screen(session: Session, task: Task) -> Screen:
    """The screen of what is asked now, in few words: what does not fit is on the page of `how`.

    A question or a look shows how only on request; other steps as much of it as stays below `MOST_WORDS`.
    """
    whole = _whole_screen(session, task)
    looks = task.phase is Phase.CHECK and session.library.checks[CheckId(task.id)].kind in _BRIEF
    shown = () if looks else _first_steps(whole)
    if shown == whole.how:
        return whole
    if not shown and not looks:
        needed = facts_of(session, task)
        return replace(whole, body=(), how=(), sketch=(), facts=needed, keys=(HOW_KEY, *whole.keys))
    left = len(whole.how) - len(shown)
    facts = whole.facts if looks else (*whole.facts, f"{left} more: type how.")
    sketch = () if looks else whole.sketch
    return replace(whole, how=shown, sketch=sketch, facts=facts, keys=(HOW_KEY, *whole.keys))


def how_page(session: Session, task: Task) -> Screen:
    """How the step is done, all of it, and how good an instrument is taken to be."""
    whole = _whole_screen(session, task)
    reading = session.library.checks[CheckId(task.id)].reading if task.phase is Phase.CHECK else None
    instrument = ""
    if reading is not None:
        usual = usual_error_in_words(reading)
        instrument = (
            f"Taken to be right within about {usual}; on a poor instrument add the word {ROUGH_WORD}."
        )
    if not (whole.how or whole.sketch or instrument):
        return replace(whole, lead="There is no more to tell about this step.", choices=(), at_once=False)
    return Screen(
        "How",
        whole.lead,
        body=whole.body,
        how=whole.how,
        sketch=whole.sketch,
        facts=(*whole.facts, *filter(None, [instrument])),
        keys=RETURN,
        prompt="Enter to go on",
    )


def _first_steps(whole: Screen) -> tuple[str, ...]:
    """As many steps of how as leave the screen below its most words."""
    left = MOST_WORDS - _FOLDED - len(" ".join(_words(replace(whole, how=()))).split())
    kept: list[str] = []
    for step in whole.how:
        left -= len(step.split()) + 1
        if left < 0:
            break
        kept.append(step)
    return tuple(kept)


def _words(screen: Screen) -> Iterator[str]:
    yield from (screen.heading, screen.lead, screen.reminder, screen.prompt)
    yield from (*screen.stops, *screen.cautions, *screen.body, *screen.how, *screen.facts, *screen.sketch)
    for one in (*screen.choices, *screen.keys):
        yield one.key
    yield from (one.label for one in screen.choices)


def _whole_screen(session: Session, task: Task) -> Screen:
    match task.phase:
        case Phase.CHECK:
            return _check_screen(session, task, session.library.checks[CheckId(task.id)])
        case Phase.PREPARE:
            return _preparation_screen(session, task)
        case Phase.REPAIR:
            return _repair_screen(session, task, session.library.repairs[RepairId(task.id)])
        case Phase.PROOF:
            return _proof_screen(session, task)
        case Phase.MENDED:
            return mended_screen(session)
        case Phase.GIVE_UP | Phase.GIVEN_UP | Phase.FOUND:
            return give_up_screen(session, task)


def _check_screen(session: Session, task: Task, check: Check) -> Screen:
    choices: tuple[Choice, ...] = ()
    prompt = PROMPT
    if check.reading is None:
        choices = tuple(
            Choice(str(place), finding.title) for place, finding in enumerate(check.findings, start=1)
        )
    else:
        unit = check.reading.unit
        prompt = f"Reading in {unit}" if unit else "Reading"
    fresh, again = new_cautions(session, task)
    return Screen(
        heading=progress(session, "", task.minutes, waiting_of(session, task)),
        lead=check.ask,
        stops=standing_stops(session),
        cautions=fresh,
        reminder=again,
        body=(sentence(check.note),) if check.note else (),
        how=check.how,
        sketch=tuple(check.sketch.splitlines()),
        choices=choices,
        facts=(
            *limits_of(session, check),
            *_when(session.library, check),
            *facts_of(session, task),
        ),
        keys=_keys(session, again),
        prompt=prompt,
        aside=bars(session),
        at_once=bool(choices),
    )


def _keys(session: Session, reminder: str, doing: bool = False) -> tuple[Choice, ...]:
    """The words that work at a step, but for those that a choice of something to be done says already.

    `caution` is among them where there is a caution to be shown again. What each does is said at the first
    step only; `help` says it again.
    """
    keys = tuple(key for key in STEP_KEYS if not doing or key.key != "skip")
    keys = (CAUTION_KEY, *keys) if reminder else keys
    return tuple(Choice(key.key, "") for key in keys) if session.entries else keys


def _when(library: Library, check: Check) -> tuple[str, ...]:
    """The state in which a check counts, where it counts in one only; a question is answered from memory."""
    condition = check.needs.only_when
    if not isinstance(condition, Is) or check.kind is CheckKind.QUESTION:
        return ()
    return (f"It counts in this state only: {lower_first(library.houses[EventId(condition.name)].title)}.",)


def _preparation_screen(session: Session, task: Task) -> Screen:
    assert task.preparation is not None
    library = session.library
    title = preparation_title(library, task.preparation)
    toward = step_title(library, task.toward) if task.toward else "the proof of the repair"
    fresh, again = new_cautions(session, task)
    return Screen(
        heading=progress(session, "", task.minutes, waiting_of(session, task)),
        lead=sentence(title),
        stops=standing_stops(session),
        cautions=fresh,
        reminder=again,
        body=(f"For: {lower_first(toward)}.",),
        how=_preparation_steps(library, task),
        choices=LOOKED_OVER if ROAD in needs_of(session, task).hazards else DONE,
        facts=(*preparation_figures(session, task), *_if_it_fails(session, task), *facts_of(session, task)),
        keys=_keys(session, again, doing=True),
        prompt=PROMPT,
        aside=bars(session),
        at_once=True,
    )


def _if_it_fails(session: Session, task: Task) -> tuple[str, ...]:
    """The complaints that are walked instead where a look-over fails, on this machine."""
    assert task.preparation is not None
    setup = session.library.setups.get(task.preparation.setup) if task.preparation.setup else None
    known = [session.library.complaints[one] for one in setup.shows] if setup else []
    titles = [one.gate.title for one in known if session.model.machine.fits(one.gate.only_if)]
    return (f"Comes first if it fails: {'; '.join(titles)}.",) if titles else ()


def _preparation_steps(library: Library, task: Task) -> tuple[str, ...]:
    assert task.preparation is not None
    if task.preparation.setup is None:
        return (library.houses[EventId(task.id)].how,)
    setup: Setup = library.setups[task.preparation.setup]
    return setup.undo if task.preparation.undo and not setup.danger else setup.how


def _repair_screen(session: Session, task: Task, repair: Repair) -> Screen:
    extra = []
    if repair.torque:
        extra.append(f"Tighten: {repair.torque}")
    extra += figures_in_words(session.library, session.model.machine, repair.figures)
    if repair.locking:
        extra.append(f"Lock: {repair.locking}")
    if repair.lasts:
        extra.append(f"Lasts: {repair.lasts}")
    if other_ways(session, repair):
        extra.append("There is another way to mend it: type other.")
    fresh, again = new_cautions(session, task)
    return Screen(
        heading=progress(
            session,
            "Roadside repair" if repair.roadside else "Lasting repair",
            task.minutes,
            waiting_of(session, task),
        ),
        lead=f"{repair.title}.",
        stops=standing_stops(session),
        cautions=fresh,
        reminder=again,
        how=repair.how,
        choices=(Choice("1", "Done"), Choice("2", "Cannot, or no part")),
        facts=(*extra, *facts_of(session, task)),
        keys=_keys(session, again, doing=True),
        prompt=PROMPT,
        aside=bars(session),
        at_once=True,
    )


def _proof_screen(session: Session, task: Task) -> Screen:
    proof = session.complaint.proof
    stops = standing_stops(session)
    fresh, again = new_cautions(session, task)
    proved = any(isinstance(entry, Proved) for entry in session.entries)
    return Screen(
        heading=progress(session, "Proof", proof.minutes),
        lead=proof.ask,
        stops=stops,
        body=(NOT_ON_THE_ROAD,) if stops and ROAD in proof.hazards else (),
        cautions=fresh if proved else (*fresh, LOCAL_RULES),
        reminder=again,
        how=proof.how,
        choices=tuple(Choice(str(place), label) for place, label in enumerate(_outcomes(session), start=1)),
        keys=tuple(key for key in _keys(session, again) if key.key not in {"skip", "why"}),
        prompt=PROMPT,
        aside=bars(session),
        at_once=True,
    )


def _outcomes(session: Session) -> Iterator[str]:
    """What a proof may show; and, where it saves minutes, the repair to make before it."""
    yield from ("Cured", "The same", "Better, not yet right", "Worse")
    also = session.worth_before_proof()
    if also is not None:
        title = lower_first(session.library.repairs[RepairId(also.id)].title)
        yield f"Later: first {title}, {minutes_in_words(also.step_cost.minutes)}, then prove both at once"


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
    body += parting_check(session) if ended else [*borrowable(session)[:1], *_to_doubt(session)]
    body += [*left_off(session), *getting_home(session)]
    keys = [Choice("back", "go back"), Choice("likely", "likely causes"), Choice("answers", "what was found")]
    if not ended:
        keys.append(Choice("other", "another step"))
    return Screen(
        heading=progress(session, ""),
        lead=_without_a_cure(task.phase),
        stops=standing_stops(session),
        body=(*body, LOCAL_RULES) if ended else tuple(body),
        choices=() if ended else (Choice("1", "Stop here"),),
        keys=(*keys, Choice("quit", "finish")),
        prompt="Finish with Enter" if ended else "Answer",
        at_once=not ended,
        aside=bars(session),
    )


def _to_doubt(session: Session) -> list[str]:
    """The answers to make again before stopping, where some fit badly with the others."""
    checks = session.library.checks
    titles = [f'"{checks[doubt.check].title}"' for doubt in least_fitting(session)[:2]]
    return (
        [f"Before you stop, make again what fits least: {', '.join(titles)} (type again)."] if titles else []
    )


def _without_a_cure(phase: Phase) -> str:
    if phase is Phase.FOUND:
        return "The cause is found; it is not mended yet."
    return "The walk ends without a confirmed repair." if phase is Phase.GIVEN_UP else "Stop here?"
