"""What a walk came to, in words: cause, cure, limits, reasons to stop, how to get home."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import floor, log10

import numpy as np

from kickover.core.ids import CheckId, EventId, ItemId, SetupId
from kickover.inference.belief import Belief, Evidence
from kickover.inference.soft_evidence import standard_error
from kickover.model.library import Check, Reading, Repair
from kickover.planning.build_problem import lines_of
from kickover.planning.job_state import missing
from kickover.planning.plan import StepKind, plan
from kickover.session.entries import Cannot
from kickover.session.session import Session
from kickover.session.wording import lower_first, minutes_in_words, percent
from kickover.units import Quantity, show

LOCAL_RULES = "Local law and licensed practice come first; this is information, not approval."


def limits_of(session: Session, check: Check) -> tuple[str, ...]:
    """The bands of a measurement for this machine, each in words with its limits and units."""
    return bands_in_words(check, session.model.edges[check.id]) if check.reading else ()


def bands_in_words(check: Check, limits: Sequence[float]) -> tuple[str, ...]:
    """The findings of a measurement between the `limits`, which are in the unit of its reading."""
    if check.reading is None:
        return ()
    edges = [_as_read(check.reading, edge) for edge in limits]
    spans = [f"under {edges[0]}", *(f"from {edge}" for edge in edges)]
    return tuple(f"{span}: {finding.title}" for span, finding in zip(spans, check.findings, strict=True))


def _as_read(reading: Reading, value: float) -> str:
    """A limit as an instrument shows it: no finer than half of the error that the check reckons with."""
    error = standard_error(reading, value) or abs(value) / 1000.0
    digits = floor(log10(abs(value))) - floor(log10(error / 2.0)) + 1 if value and error else 3
    return show(Quantity(value, reading.unit), digits=min(max(digits, 1), 3))


def what_is_off(session: Session) -> tuple[str, ...]:
    """What is off, open or parted now, and the dangers that are about, in the words of the library."""
    setups = session.library.setups
    return tuple(
        setups[one].title for one in sorted(session.job.in_place) if setups[one].undo or setups[one].danger
    )


def confirmed_causes(session: Session) -> tuple[EventId, ...]:
    """The causes that the successful repair cures, likeliest first, those with a fair share of it."""
    assert session.mended is not None
    return session.belief.credited(session.mended_by or (session.mended,))


def items_in_words(session: Session, items: tuple[ItemId, ...]) -> str:
    """Tools and spares by their titles."""
    return ", ".join(lower_first(session.library.items[item].title) for item in items)


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
    body += _what_was_done(session)
    if repair.lasts:
        body.append(f"It lasts: {repair.lasts}.")
    body += _lasting_repairs(session, causes)
    prevention = [library.causes[cause].prevention for cause in causes] + [repair.prevention]
    body += [f"So that it does not come back: {words}" for words in dict.fromkeys(prevention) if words]
    carried = (*repair.needs.tools, *repair.needs.spares) if repair.roadside else repair.needs.spares
    if carried:
        body.append(f"Keep in the kit: {items_in_words(session, carried)}.")
    if repair.roadside and any(not library.causes[cause].ride for cause in causes):
        body.append("Do not ride it before the lasting repair has been made and looked over.")
    return tuple(body)


def _what_was_done(session: Session) -> list[str]:
    """The repair; of several before one proof all, and how to find out which of them it was."""
    titles = [lower_first(session.library.repairs[repair].title) for repair in session.mended_by]
    if len(titles) < 2:
        assert session.mended is not None
        return [f"What was done: {lower_first(session.library.repairs[session.mended].title)}."]
    return [
        f"What was done: {'; '.join(titles)}.",
        "One of these cured it, and which is not known. To find out, undo them one at a time, the last "
        "first, and prove it each time: the one without which it comes back was the cure.",
    ]


def _lasting_repairs(session: Session, causes: tuple[EventId, ...]) -> list[str]:
    """For a roadside repair, what to do at the bench, with what it needs."""
    assert session.mended is not None
    return _lasting(session, causes) if session.library.repairs[session.mended].roadside else []


def _lasting(session: Session, causes: tuple[EventId, ...]) -> list[str]:
    if not causes:
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


def found_in_words(session: Session) -> tuple[str, ...]:
    """What a test that took the complaint away has shown, and the lasting repairs of it."""
    assert session.found is not None
    causes = session.belief.credited([session.found])
    named = " or ".join(lower_first(session.library.title_of(cause)) for cause in causes)
    lines = [f"Found: {named}. It is not mended yet; the test only went round it."] if named else []
    return (*lines, *_lasting(session, causes))


def reasons_to_stop(session: Session) -> tuple[str, ...]:
    """Why the walk ends, or would end, without a confirmed repair."""
    if session.found is not None:
        return found_in_words(session)
    if session.proving is not None:
        title = lower_first(session.library.repairs[session.proving].title)
        return (f"This repair was made but not proven: {title}. Prove it before you rely on it.",)
    if not session.belief.fits:
        return (
            "None of the causes in the library fits what was found. Make the doubtful checks again, or show "
            "the report to a mechanic.",
        )
    return ("Nothing that can be done here is likely to be worth its time.",)


def leading_causes(session: Session, most: int = 3) -> tuple[str, ...]:
    """The likeliest causes, each with its share and what its quickest repair needs that is not at hand."""
    lines = []
    for ranked in session.belief.ranking()[:most]:
        if ranked.probability < 0.02:
            break
        cures = [repair for repair in session.model.repairs.values() if ranked.cause in repair.cures]
        cures.sort(
            key=lambda repair: (len(missing(session.job, repair.needs)), repair.needs.minutes, repair.id)
        )
        lacking = missing(session.job, cures[0].needs) if cures else ()
        more = " and more" if len(lacking) > 2 else ""
        needs = f"; not at hand: {items_in_words(session, lacking[:2])}{more}" if lacking else ""
        title = lower_first(session.library.title_of(ranked.cause))
        lines.append(f"{percent(ranked.probability)} {title}{needs}.")
    return tuple(lines)


def parting_check(session: Session) -> tuple[str, ...]:
    """The check that would part the leading causes, with any tool: the best by the plan with every tool."""
    if session.mended is not None or session.proving is not None:
        return ()
    planned = plan(session.belief, replace(session.job, kit=None), session.give_up)
    step = next((one for one in planned.steps if one.kind is StepKind.CHECK), None)
    if step is None:
        return ()
    check = session.model.checks[CheckId(step.id)]
    lacking = missing(session.job, check.needs)
    needs = f"; it needs {items_in_words(session, lacking)}" if lacking else ""
    return (f"What would part them: {lower_first(check.title)}{needs}.",)


def left_off(session: Session) -> tuple[str, ...]:
    """What is still off, open or parted, in one line."""
    off = what_is_off(session)
    return (f"Still off or open: {'; '.join(map(lower_first, off))}.",) if off else ()


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
    return tuple(lines)


def borrowable(session: Session) -> list[str]:
    """Steps that a tool or part from somebody else would make possible."""
    return [
        f"If you can borrow {items_in_words(session, items)}: {lower_first(title)}."
        for title, items in session.missing_steps()
    ]


STILL_SEEN = 0.2
"""A stop stands while its finding would be seen again with at least this chance (a safe estimate)."""
LIKELY_UNSAFE = 0.1
"""A cause that forbids riding counts from this chance on (estimate)."""
ROAD = "road"


def standing_stops(session: Session) -> tuple[str, ...]:
    """The words of each stop that was found and that no repair since should have put right."""
    made = session.mended or session.proving
    mended = frozenset(session.library.repairs[made].cures) if made is not None else frozenset()
    found = []
    for evidence, _ in session.asked:
        stop = session.library.checks[evidence.check].findings[evidence.seen].stop
        if stop and _seen_again(session, evidence, mended) >= STILL_SEEN:
            found.append(stop)
    return tuple(dict.fromkeys(found))


def unsafe_causes(session: Session) -> tuple[EventId, ...]:
    """The causes that are likely enough and with which the machine must not be ridden."""
    mended = session.library.repairs[session.mended].cures if session.mended is not None else ()
    return tuple(
        ranked.cause
        for ranked in _before_proof(session).ranking()
        if ranked.probability >= LIKELY_UNSAFE
        and not session.library.causes[ranked.cause].ride
        and ranked.cause not in mended
    )


def look_over_failed(session: Session) -> bool:
    """True when the look-over before a road test could not be made, or showed something wrong."""
    setups = session.library.setups
    return any(
        isinstance(entry, Cannot)
        and SetupId(entry.step) in setups
        and ROAD in setups[SetupId(entry.step)].needs.hazards
        for entry in session.entries
    )


def must_not_ride(session: Session) -> bool:
    """Tell whether the machine must not be ridden as it is, for all that is known."""
    return bool(standing_stops(session) or unsafe_causes(session) or look_over_failed(session))


def _seen_again(session: Session, evidence: Evidence, mended: frozenset[EventId]) -> float:
    model = session.model
    gone = np.array([cause in mended for cause in model.hypotheses.structure.causes] + [False])
    members = model.hypotheses.members
    left = replace(model.hypotheses, members=np.where(gone[members], -1, members))
    lines = lines_of(left, [model.checks[evidence.check]], [evidence.state.houses])[0]
    likelihood = model.chances[evidence.check][evidence.seen, lines]
    return float(_before_proof(session).posterior @ likelihood)


def _before_proof(session: Session) -> Belief:
    """The belief before the cure was proven: a crack that was seen is still a crack once it runs."""
    while session.mended is not None and session.before is not None:
        session = session.before
    return session.belief
