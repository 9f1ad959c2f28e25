"""What the steps of a chart say: the words of the library, as the walk says them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from kickover.core.ids import CheckId, EventId, RepairId
from kickover.documents.charts.chart import Node, NodeKind
from kickover.documents.charts.compile_moves import StepKey
from kickover.documents.charts.compile_places import Place
from kickover.documents.charts.compile_readings import chart_reading
from kickover.documents.charts.compile_riding import lasting_repairs
from kickover.documents.model_wording import chance_words
from kickover.model.library import Check, Is, Library, Repair
from kickover.session.entries import Repaired
from kickover.session.machine_figures import figures_in_words, preparation_figures
from kickover.session.outcome import getting_home, reasons_to_stop
from kickover.session.riding_bans import ROAD, must_not_ride
from kickover.session.session import Phase, Session, Task, needs_of
from kickover.session.wording import lower_first, preparation_title, sentence, step_title

NOT_ON_THE_ROAD = "Do not ride it for this while a STOP that you met on the way stands."
NOT_WELL = "If something is not well there, stop: do not ride it."
GIVE_UP_TITLE = "Stop here: push it home, or call a mechanic"
MUST_NOT_RIDE_TITLE = "Stop here: it must not be ridden. Push it, or have it fetched"
MOST_LINES = 8


def step_words(id_: str, place: Place) -> Node:
    """One step in words, with the id that it gets; its branches are for the caller to add."""
    session = place.positions[0].session
    task = session.task()
    match task.phase:
        case Phase.CHECK:
            return _check(id_, session, task, place)
        case Phase.PREPARE:
            return _preparation(id_, session, task)
        case Phase.REPAIR:
            return _repair(id_, session, task, place)
        case Phase.PROOF:
            return _proof(id_, session, task)
        case Phase.GIVE_UP | Phase.MENDED | Phase.FOUND | Phase.GIVEN_UP:
            return give_up_words(id_, place)


def _node(
    id_: str, kind: NodeKind, title: str, session: Session, task: Task, lines: Sequence[str], note: str = ""
) -> Node:
    needs = needs_of(session, task)
    items = session.library.items
    return Node(
        id_,
        kind,
        title,
        round(task.minutes, 3),
        lines=tuple(lines),
        tools=tuple(items[one].title for one in (*needs.tools, *needs.spares)),
        cautions=tuple(needs.hazards),
        note=note,
    )


def _check(id_: str, session: Session, task: Task, place: Place) -> Node:
    check = session.library.checks[CheckId(task.id)]
    lines = [*check.how, *_when(session.library, check)]
    if check.note:
        lines.append(sentence(check.note))
    node = _node(id_, NodeKind.CHECK, check.ask, session, task, lines, likely_words(session.library, place))
    return _measured(node, check)


def _measured(node: Node, check: Check) -> Node:
    return Node(
        node.id,
        node.kind,
        node.title,
        node.minutes,
        node.branches,
        node.lines,
        node.tools,
        node.cautions,
        chart_reading(check),
        check.sketch,
        node.note,
    )


def _when(library: Library, check: Check) -> tuple[str, ...]:
    """The state in which a check counts, where it counts in one only."""
    condition = check.needs.only_when
    if not isinstance(condition, Is):
        return ()
    return (f"It counts in this state only: {lower_first(library.houses[EventId(condition.name)].title)}.",)


def _preparation(id_: str, session: Session, task: Task) -> Node:
    assert task.preparation is not None
    preparation = task.preparation
    title = preparation_title(session.library, preparation)
    if preparation.setup is None:
        how: tuple[str, ...] = (session.library.houses[EventId(task.id)].how,)
    else:
        setup = session.library.setups[preparation.setup]
        how = setup.undo if preparation.undo and not setup.danger else setup.how
    toward = f"For: {lower_first(step_title(session.library, task.toward))}" if task.toward else ""
    lines = [*(one for one in how if one), *preparation_figures(session, task)]
    if ROAD in needs_of(session, task).hazards:
        lines.append(NOT_WELL)
    return _node(id_, NodeKind.SETUP, title, session, task, lines, toward)


def _repair(id_: str, session: Session, task: Task, place: Place) -> Node:
    repair = session.library.repairs[RepairId(task.id)]
    lines = [
        "Roadside repair: it gets you home." if repair.roadside else "Proper repair: it lasts.",
        *repair.how,
    ]
    for name, words in (
        ("Tighten", repair.torque), ("Lock", repair.locking), ("It lasts", repair.lasts),
        ("So that it does not come back", repair.prevention),
    ):  # fmt: skip
        if words:
            lines.append(sentence(f"{name}: {words}"))
    lines += figures_in_words(session.library, session.model.machine, repair.figures)
    if repair.roadside:
        lines += _lasting(repair, place)
    cured = (
        sum(position.share * position.session.belief.cured_by(repair.id) for position in place.positions)
        / place.share
    )
    note = "; ".join(
        one for one in (f"Cures it: {chance_words(cured)}", likely_words(session.library, place)) if one
    )
    return _node(id_, NodeKind.REPAIR, repair.title, session, task, lines, note)


def _lasting(repair: Repair, place: Place) -> tuple[str, ...]:
    """What to do once a roadside repair has held: the lasting one, in the words of the walk's last screen."""
    words = (
        f"Once it is cured: {lower_first(line)}"
        for position in place.positions
        for line in lasting_repairs(position.session.record(Repaired(repair.id)))
    )
    return tuple(dict.fromkeys(words))[:2]


def _proof(id_: str, session: Session, task: Task) -> Node:
    proof = session.complaint.proof
    lines = [*proof.how]
    if ROAD in proof.hazards:
        lines.append(NOT_ON_THE_ROAD)
    return _node(id_, NodeKind.PROOF, proof.ask, session, task, lines)


def solved_stop(step: StepKey) -> str:
    """What forbids riding although the complaint is gone; nothing where it may be ridden."""
    return " ".join(("It must not be ridden yet.", *step.forbids)) if step.forbids else ""


def give_up_words(id_: str, place: Place) -> Node:
    """The end of a walk without a repair, for all that come to it."""
    lines = _joined(
        line
        for position in place.positions
        for line in (*reasons_to_stop(position.session), *getting_home(position.session))
    )
    forbidden = any(must_not_ride(position.session) for position in place.positions)
    return Node(id_, NodeKind.GIVE_UP, MUST_NOT_RIDE_TITLE if forbidden else GIVE_UP_TITLE, 0.0, lines=lines)


def _joined(lines: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(lines))[:MOST_LINES]


def likely_words(library: Library, place: Place) -> str:
    """The likeliest causes at a step, with their chances."""
    named = [
        f"{lower_first(library.title_of(one.cause))} ({chance_words(one.probability)})"
        for one in place.likely()
    ]
    return f"Likely here: {', '.join(named)}" if named else ""


def format_frequency(share: float) -> str:
    """A share of all walks, small ones in one figure: `3 in 1000`."""
    if share <= 0.0:
        return "no"
    return chance_words(share if share >= 0.1 else float(f"{share:.1g}"))
