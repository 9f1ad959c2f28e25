"""The screens that ask for something: a check, a preparation, a repair, its proof."""

from __future__ import annotations

from kickover.core.ids import CheckId, EventId, RepairId
from kickover.model.library import Check, CheckKind, Is, Library, Repair, Setup
from kickover.planning.job_state import Preparation
from kickover.session.instrument import ROUGH_WORD, usual_error_in_words
from kickover.session.machine_figures import figures_in_words, preparation_figures
from kickover.session.options import OtherRepair, other_ways
from kickover.session.outcome import LOCAL_RULES, items_in_words, limits_of
from kickover.session.riding_bans import ROAD, standing_stops
from kickover.session.session import Phase, Session, Task, needs_of
from kickover.session.wording import lower_first, minutes_in_words, preparation_title, sentence, step_title
from kickover.ui.ending import give_up_screen, mended_screen
from kickover.ui.screen import STEP_KEYS, Choice, Screen, bars, cautions_of, facts_of, progress

DONE = (Choice("1", "Done"), Choice("2", "Cannot do it"))
LOOKED_OVER = (Choice("1", "Done, and all is well"), Choice("2", "Something is wrong, or cannot do it"))
NOT_ON_THE_ROAD = "Do not ride it for the proof while a STOP stands: put that right first, or type cannot."


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
        case Phase.GIVE_UP | Phase.GIVEN_UP | Phase.FOUND:
            return give_up_screen(session, task)


def _check_screen(session: Session, task: Task, check: Check) -> Screen:
    choices: tuple[Choice, ...] = ()
    prompt = "Number or word"
    if check.reading is None:
        choices = tuple(
            Choice(str(place), finding.title) for place, finding in enumerate(check.findings, start=1)
        )
    else:
        unit = check.reading.unit
        prompt = f"Reading in {unit}, or another unit" if unit else "Reading"
    return Screen(
        heading=progress(session, check.title),
        lead=check.ask,
        stops=standing_stops(session),
        cautions=cautions_of(session, task),
        body=(sentence(check.note),) if check.note else (),
        how=check.how,
        sketch=tuple(check.sketch.splitlines()),
        choices=choices,
        facts=(
            *limits_of(session, check),
            *_reckoned_error(check),
            *_when(session.library, check),
            *facts_of(session, task),
        ),
        keys=STEP_KEYS,
        prompt=prompt,
        aside=bars(session),
    )


def _reckoned_error(check: Check) -> tuple[str, ...]:
    """How good an instrument is taken to be, and what to type of a poor one."""
    if check.reading is None:
        return ()
    usual = usual_error_in_words(check.reading)
    return (f"Taken to be right within about {usual}; on a poor instrument add the word {ROUGH_WORD}.",)


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
    toward = f"So that you can go on with: {step_title(library, task.toward)}" if task.toward else ""
    if not toward:
        toward = "So that the repair can be proven."
    return Screen(
        heading=progress(session, _kind_of(library, task.preparation)),
        lead=f"{title}.",
        stops=standing_stops(session),
        cautions=cautions_of(session, task),
        body=(toward,),
        how=_preparation_steps(library, task),
        choices=LOOKED_OVER if ROAD in needs_of(session, task).hazards else DONE,
        facts=(*preparation_figures(session, task), *facts_of(session, task)),
        keys=STEP_KEYS,
        prompt="Number or word",
        aside=bars(session),
    )


def _kind_of(library: Library, preparation: Preparation) -> str:
    """What sort of preparation it is, for the heading."""
    if preparation.setup is None:
        return "Waiting"
    if library.setups[preparation.setup].danger:
        return "Making it safe"
    return "Putting back" if preparation.undo else "Getting ready"


def _preparation_steps(library: Library, task: Task) -> tuple[str, ...]:
    assert task.preparation is not None
    if task.preparation.setup is None:
        return (library.houses[EventId(task.id)].how,)
    setup: Setup = library.setups[task.preparation.setup]
    return setup.undo if task.preparation.undo and not setup.danger else setup.how


def _repair_screen(session: Session, task: Task, repair: Repair) -> Screen:
    kind = "Roadside repair: it gets you home." if repair.roadside else "Proper repair: it lasts."
    extra = []
    if repair.torque:
        extra.append(f"Tighten: {repair.torque}")
    extra += figures_in_words(session.library, session.model.machine, repair.figures)
    if repair.locking:
        extra.append(f"Lock: {repair.locking}")
    if repair.lasts:
        extra.append(f"Lasts: {repair.lasts}")
    ways = [_way_in_words(session, way) for way in other_ways(session, repair)]
    return Screen(
        heading=progress(session, "Repair"),
        lead=f"{repair.title}.",
        stops=standing_stops(session),
        cautions=cautions_of(session, task),
        body=(kind,),
        how=repair.how,
        choices=(Choice("1", "Done"), Choice("2", "Cannot do it, or no part")),
        facts=(*extra, *facts_of(session, task), *ways),
        keys=STEP_KEYS,
        prompt="Number or word",
        aside=bars(session),
    )


def _way_in_words(session: Session, way: OtherRepair) -> str:
    """Another repair of the same cause: how long, and what it needs that is or is not at hand."""
    kind = "roadside" if way.repair.roadside else "proper"
    words = f"Or ({kind}): {lower_first(way.repair.title)}, {minutes_in_words(way.minutes)}"
    if way.missing:
        return f"{words}; not at hand: {items_in_words(session, way.missing)}."
    needed = (*way.repair.needs.tools, *way.repair.needs.spares)
    needs = f", with {items_in_words(session, needed)}" if needed else ""
    return f"{words}{needs} (type other)."


def _proof_screen(session: Session, task: Task) -> Screen:
    proof = session.complaint.proof
    stops = standing_stops(session)
    return Screen(
        heading=progress(session, "Proof"),
        lead=proof.ask,
        stops=stops,
        body=(NOT_ON_THE_ROAD,) if stops and ROAD in proof.hazards else (),
        cautions=(*cautions_of(session, task), LOCAL_RULES),
        how=proof.how,
        choices=(Choice("1", "Yes, it is cured"), Choice("2", "No, still the same")),
        facts=(f"About {minutes_in_words(proof.minutes)}.",),
        keys=tuple(key for key in STEP_KEYS if key.key not in {"skip", "why", "other"}),
        prompt="Number or word",
        aside=bars(session),
    )
