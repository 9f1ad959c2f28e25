"""What one screen of the walk says, as a value: nothing here knows a terminal, a width or a colour."""

from __future__ import annotations

from dataclasses import dataclass

from kickover.ids import CheckId, EventId, RepairId
from kickover.library.model import Check, Library, Repair, Setup
from kickover.quantity import Quantity, show
from kickover.walk.session import Phase, Session, Task, needs_of
from kickover.walk.wording import minutes_in_words, percent, preparation_title, step_title

LOCAL_RULES = "Local law and licensed practice come first; this is information, not approval."


@dataclass(frozen=True, slots=True)
class Choice:
    """One thing that can be picked, by its number or its words."""

    key: str
    label: str


@dataclass(frozen=True, slots=True)
class Bar:
    """A likely cause beside the question: its share from 0 to 1 and its title."""

    share: float
    title: str


@dataclass(frozen=True, slots=True)
class Screen:
    """One screen, top to bottom. Empty parts are not shown.

    `keys` are the words that work now, with what they do; `aside` stands beside the rest where there is
    room.
    """

    heading: str
    lead: str
    stops: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    body: tuple[str, ...] = ()
    how: tuple[str, ...] = ()
    sketch: tuple[str, ...] = ()
    choices: tuple[Choice, ...] = ()
    facts: tuple[str, ...] = ()
    keys: tuple[Choice, ...] = ()
    prompt: str = "Answer"
    aside: tuple[Bar, ...] = ()


STEP_KEYS = (
    Choice("why", "why this"),
    Choice("likely", "likely causes"),
    Choice("back", "go back"),
    Choice("skip", "not now"),
    Choice("cannot", "cannot do it"),
    Choice("help", "all words"),
    Choice("quit", "stop, saved"),
)


def step_screen(session: Session, task: Task) -> Screen:
    """The screen of what is asked now."""
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
        case Phase.GIVE_UP | Phase.GIVEN_UP:
            return _give_up_screen(session, task)


def bars(session: Session, most: int = 6) -> tuple[Bar, ...]:
    """The likeliest causes for the side of the screen."""
    ranked = session.belief.ranking()[:most]
    shown = [
        Bar(one.probability, session.library.title_of(one.cause))
        for one in ranked
        if one.probability >= 0.005
    ]
    return (*shown, Bar(session.belief.unlisted, "Something not listed here"))


def cautions_of(session: Session, task: Task) -> tuple[str, ...]:
    """The cautions of what is asked now: one for each of its hazards, in the words of the library."""
    hazards = needs_of(session, task).hazards
    return tuple(session.library.hazards[hazard].caution for hazard in hazards)


def limits_of(session: Session, check: Check) -> tuple[str, ...]:
    """The bands of a measurement for this machine, each in words with its limits and units."""
    if check.reading is None:
        return ()
    unit = check.reading.unit
    edges = [show(Quantity(edge, unit)) for edge in session.model.edges[check.id]]
    lines = []
    for place, finding in enumerate(check.findings):
        if place == 0:
            span = f"under {edges[0]}"
        elif place == len(edges):
            span = f"{edges[-1]} or more"
        else:
            span = f"{edges[place - 1]} to {edges[place]}"
        lines.append(f"{span}: {finding.title}")
    return tuple(lines)


def _check_screen(session: Session, task: Task, check: Check) -> Screen:
    if check.reading is not None:
        choices: tuple[Choice, ...] = ()
        unit = check.reading.unit
        prompt = f"Reading in {unit}, or another unit" if unit else "Reading"
        facts = (*limits_of(session, check), *_facts(session, task))
    else:
        choices = tuple(
            Choice(str(number), finding.title) for number, finding in enumerate(check.findings, start=1)
        )
        prompt = "Number or word"
        facts = _facts(session, task)
    return Screen(
        heading=_progress(session, check.title),
        lead=check.ask,
        stops=session.stops,
        cautions=cautions_of(session, task),
        body=(check.note,) if check.note else (),
        how=check.how,
        sketch=tuple(check.sketch.splitlines()),
        choices=choices,
        facts=facts,
        keys=STEP_KEYS,
        prompt=prompt,
        aside=bars(session),
    )


def _preparation_screen(session: Session, task: Task) -> Screen:
    assert task.preparation is not None
    library = session.library
    title = preparation_title(library, task.preparation)
    body = (f"So that you can go on with: {step_title(library, task.toward)}",) if task.toward else ()
    return Screen(
        heading=_progress(session, title),
        lead=f"{title}.",
        stops=session.stops,
        cautions=cautions_of(session, task),
        body=body,
        how=_preparation_steps(library, task),
        choices=(Choice("1", "Done"), Choice("2", "Cannot do it")),
        facts=(f"About {minutes_in_words(task.minutes)}.", *_tools(session, task)),
        keys=STEP_KEYS,
        prompt="Number or word",
        aside=bars(session),
    )


def _preparation_steps(library: Library, task: Task) -> tuple[str, ...]:
    assert task.preparation is not None
    if task.preparation.setup is None:
        return (library.houses[EventId(task.id)].how,)
    setup: Setup = library.setups[task.preparation.setup]
    return setup.undo if task.preparation.undo and not setup.danger else setup.how


def _repair_screen(session: Session, task: Task, repair: Repair) -> Screen:
    kind = "Roadside repair: it gets you home" if repair.roadside else "Proper repair: it lasts"
    extra = [f"Lasts: {repair.lasts}"] if repair.lasts else []
    if repair.torque:
        extra.append(f"Tighten: {repair.torque}")
    if repair.locking:
        extra.append(f"Lock: {repair.locking}")
    return Screen(
        heading=_progress(session, repair.title),
        lead=f"{repair.title}.",
        stops=session.stops,
        cautions=cautions_of(session, task),
        body=(f"{kind}.",),
        how=repair.how,
        choices=(Choice("1", "Done"), Choice("2", "Cannot do it, or no part")),
        facts=(*extra, *_facts(session, task)),
        keys=STEP_KEYS,
        prompt="Number or word",
        aside=bars(session),
    )


def _proof_screen(session: Session, task: Task) -> Screen:
    proof = session.complaint.proof
    return Screen(
        heading=_progress(session, "Proof"),
        lead=proof.ask,
        stops=session.stops,
        cautions=(*cautions_of(session, task), LOCAL_RULES),
        how=proof.how,
        choices=(Choice("1", "Yes, it is cured"), Choice("2", "No, still the same")),
        facts=(f"About {minutes_in_words(proof.minutes)}.",),
        keys=tuple(key for key in STEP_KEYS if key.key not in {"skip", "why"}),
        prompt="Number or word",
        aside=bars(session),
    )


def mended_screen(session: Session) -> Screen:
    """The last screen: the cause, what was done, how it stays away, what to carry."""
    assert session.mended is not None
    repair = session.library.repairs[session.mended]
    causes = confirmed_causes(session)
    body = [f"The cause: {' or '.join(session.library.title_of(cause).lower() for cause in causes)}."]
    body += [
        session.library.causes[cause].about for cause in causes[:1] if session.library.causes[cause].about
    ]
    body.append(f"What was done: {repair.title}.")
    if repair.lasts:
        body.append(f"Lasts: {repair.lasts}")
    body += _lasting_repairs(session, causes)
    prevention = [session.library.causes[cause].prevention for cause in causes] + [repair.prevention]
    body += [f"So that it does not come back: {words}" for words in dict.fromkeys(prevention) if words]
    carried = [*repair.needs.tools, *repair.needs.spares]
    if carried:
        names = ", ".join(session.library.items[one].title.lower() for one in carried)
        body.append(f"Keep in the kit: {names}.")
    if any(not session.library.causes[cause].ride for cause in causes):
        body.append("Do not ride it before the proper repair has been made and looked over.")
    return Screen(
        heading=f"It is cured, after about {minutes_in_words(session.minutes)}",
        lead="Well done.",
        stops=session.stops,
        body=(*body, LOCAL_RULES),
        keys=(Choice("back", "go back"), Choice("answers", "what was found"), Choice("quit", "finish")),
        prompt="Finish with Enter",
    )


def confirmed_causes(session: Session) -> tuple[EventId, ...]:
    """The causes that the successful repair cures, likeliest first, those with a fair share of it."""
    assert session.mended is not None
    cures = session.library.repairs[session.mended].cures
    ranked = [one for one in session.belief.ranking() if one.cause in cures and one.probability > 0.0]
    total = sum(one.probability for one in ranked)
    return tuple(one.cause for one in ranked if one.probability >= 0.2 * total)


def _lasting_repairs(session: Session, causes: tuple[EventId, ...]) -> list[str]:
    assert session.mended is not None
    if not session.library.repairs[session.mended].roadside:
        return []
    lasting = [
        repair.title.lower()
        for repair in session.model.repairs.values()
        if not repair.roadside and causes and causes[0] in repair.cures
    ]
    return [f"At the bench, the lasting repair: {' or '.join(lasting)}."] if lasting else []


def _give_up_screen(session: Session, task: Task) -> Screen:
    ended = task.phase is Phase.GIVEN_UP
    body = [
        "Nothing that can be done here with these tools is likely to be worth the time.",
        "Push it home or call a mechanic. Take these notes with you: the report shows what was found.",
    ]
    if not session.belief.fits:
        body.insert(0, "None of the causes in the library fits what was found.")
    ride = [one for one in session.belief.ranking()[:5] if not session.library.causes[one.cause].ride]
    if ride or session.stops:
        body.append("It must not be ridden as it is.")
    if not ended:
        body += _borrowable(session)
    keys = (Choice("back", "go back"), Choice("likely", "likely causes"), Choice("answers", "what was found"))
    return Screen(
        heading=_progress(session, "Stop here"),
        lead="The walk ends without a confirmed repair." if ended else "Stop here?",
        stops=session.stops,
        body=tuple(body),
        choices=() if ended else (Choice("1", "Stop here"),),
        keys=(*keys, Choice("quit", "finish")),
        prompt="Finish with Enter" if ended else "Number or word",
        aside=bars(session),
    )


def _borrowable(session: Session) -> list[str]:
    """Steps that a tool or part from somebody else would make possible."""
    wanted = []
    for title, items in session.missing_steps():
        names = " and ".join(session.library.items[item].title.lower() for item in items)
        wanted.append(f"If you can borrow {names}: {title}.")
    return wanted


def _facts(session: Session, task: Task) -> tuple[str, ...]:
    return (f"About {minutes_in_words(task.minutes)}.", *_tools(session, task))


def _tools(session: Session, task: Task) -> tuple[str, ...]:
    needs = needs_of(session, task)
    names = [session.library.items[one].title.lower() for one in (*needs.tools, *needs.spares)]
    return (f"Needs: {', '.join(names)}.",) if names else ()


def _progress(session: Session, title: str) -> str:
    asked = len(session.entries)
    spent = f", {minutes_in_words(session.minutes)} so far" if session.minutes >= 0.75 else ""
    leading = session.belief.ranking()[:1]
    fit = percent(leading[0].probability) if leading and asked else ""
    return f"{title}  (step {asked + 1}{spent}{', best guess ' + fit if fit else ''})"
