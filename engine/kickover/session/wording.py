"""The walk's numbers in plain words: why a step, how likely, what speaks for and against."""

from __future__ import annotations

from collections.abc import Iterable

from kickover.core.ids import CheckId, EventId, FigureId, RepairId
from kickover.inference.compiled_model import EngineState
from kickover.model.library import Library, Machine, Setup
from kickover.model.limits import LimitError, figure_of
from kickover.planning.explanation import minutes_saved, prospects
from kickover.planning.job_state import Preparation
from kickover.planning.plan import Plan, Step, StepKind
from kickover.session.session import Session, Task
from kickover.units import show


def minutes_in_words(minutes: float) -> str:
    """A number of minutes as people say it."""
    if minutes < 0.75:
        return "half a minute"
    if minutes < 1.5:
        return "a minute"
    if minutes < 100:
        return f"{minutes:.0f} minutes"
    hours = minutes / 60
    return f"{hours:.0f} hours" if abs(hours - round(hours)) < 0.1 else f"{hours:.1f} hours"


def changes_in_words(library: Library) -> tuple[str, ...]:
    """What overlays changed, a sentence each."""
    return tuple(sentence(str(changes)) for changes in library.laid_over.values())


def sentence(text: str) -> str:
    """Words as a sentence of their own: a capital first, a full stop last."""
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith(('.', '?', '!')) else '.'}"


def lower_first(title: str) -> str:
    """A title as it stands in the middle of a sentence."""
    return f"{title[:1].lower()}{title[1:]}"


def chance_in_words(probability: float) -> str:
    """A probability in plain words, the same words for the same range everywhere."""
    for least, words in (
        (0.9, "almost certain"),
        (0.6, "likely"),
        (0.3, "quite possible"),
        (0.1, "possible"),
        (0.02, "not likely"),
    ):
        if probability >= least:
            return words
    return "hardly"


def percent(probability: float) -> str:
    """A probability in whole percent, never a bare 0 or 100."""
    if probability < 0.005:
        return "<1\u00a0%"
    if probability > 0.995:
        return ">99\u00a0%"
    return f"{probability * 100:.0f}\u00a0%"


def weight_in_words(decibans: float) -> str:
    """What a weight of evidence does to the odds, as a factor that people say."""
    factor = 10.0 ** (abs(decibans) / 10.0)
    way = "more" if decibans > 0 else "less"
    if factor < 1.75:
        return f"makes it a little {way} likely"
    times = "over a hundred times" if factor >= 100.0 else "twice" if factor < 2.5 else f"{factor:.0f} times"
    return f"makes it {times} {'as' if decibans > 0 else 'less'} likely"


def step_title(library: Library, step: Step) -> str:
    """The title of a step."""
    match step.kind:
        case StepKind.CHECK:
            return library.checks[CheckId(step.id)].title
        case StepKind.REPAIR:
            return library.repairs[RepairId(step.id)].title
        case StepKind.GIVE_UP:
            return "Stop here: push it home or call a mechanic"


def preparation_title(library: Library, preparation: Preparation) -> str:
    """What a preparation asks for, in a few words."""
    if preparation.setup is None:
        assert preparation.wait_for is not None
        return f"Wait: {lower_first(library.houses[preparation.wait_for].title)}"
    setup = library.setups[preparation.setup]
    if setup.danger:
        return f"First make it safe: {lower_first(setup.title)}"
    return put_back_title(setup) if preparation.undo else setup.title


def put_back_title(setup: Setup) -> str:
    """What undoing a setup is called: by its author, or else by its own title."""
    return setup.put_back or f"Put back: {lower_first(setup.title)}"


def why(session: Session, planned: Plan) -> str:
    """One line on why the next step is the next step."""
    step = planned.next
    match step.kind:
        case StepKind.CHECK:
            return _why_check(session, planned, step)
        case StepKind.REPAIR:
            return _why_repair(session, step)
        case StepKind.GIVE_UP:
            return "nothing that can be done here is likely to be worth the time"


def _why_check(session: Session, planned: Plan, step: Step) -> str:
    state = EngineState(step.step_cost.after.houses, session.belief.made)
    leaders: list[EventId] = []
    for prospect in prospects(session.belief, CheckId(step.id), state, leading=1):
        for ranked in prospect.leading:
            if ranked.cause not in leaders:
                leaders.append(ranked.cause)
    names = [session.library.title_of(leader) for leader in leaders]
    saved = minutes_saved(planned)
    gain = f"; saves about {minutes_in_words(saved)} on average" if saved >= 1.0 else ""
    if len(names) < 2:
        return f'weighs "{names[0]}"{gain}' if names else f"the quickest look{gain}"
    return f'tells "{names[0]}" from "{names[1]}"{gain}'


def _why_repair(session: Session, step: Step) -> str:
    share = session.belief.cured_by(RepairId(step.id))
    spent = minutes_in_words(step.step_cost.minutes)
    return f"cures it with {percent(share)} chance and takes {spent}; no check is worth its minutes first"


def figures_in_words(library: Library, machine: Machine, figures: Iterable[FigureId]) -> tuple[str, ...]:
    """Each figure with its number and unit: of this machine, or else the usual one, said to be so."""
    return tuple(words for figure in figures if (words := _in_words(library, machine, figure)))


def preparation_figures(session: Session, task: Task) -> tuple[str, ...]:
    """The figures that a setup is put back to; none while it is being taken off."""
    preparation = task.preparation
    if preparation is None or preparation.setup is None or not preparation.undo:
        return ()
    setup = session.library.setups[preparation.setup]
    return figures_in_words(session.library, session.model.machine, setup.figures)


def _in_words(library: Library, machine: Machine, figure: FigureId) -> str:
    try:
        value = show(figure_of(library, machine, figure))
    except LimitError:
        return ""
    title = library.figures[figure].title
    if figure in machine.figures:
        return f"{title}: {value} on this machine."
    return f"{title}: {value} is usual; the maker's figure goes before it."
