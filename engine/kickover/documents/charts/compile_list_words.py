"""What a finishing list says: the words of the library for its rows, and when one comes to it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

import numpy as np

from kickover.core.ids import SetupId
from kickover.documents.charts.chart import FinishingList, ListedCause, Node, NodeKind
from kickover.documents.charts.compile_lists import Gathered
from kickover.documents.charts.compile_moves import MUST_NOT_RIDE
from kickover.documents.charts.compile_places import Place
from kickover.documents.charts.compile_readings import span_words, spans
from kickover.documents.charts.compile_words import NOT_ON_THE_ROAD, format_frequency
from kickover.documents.model_wording import chance_words
from kickover.model.library import Check, Library, Needs, Repair
from kickover.planning.build_problem import step_costs_of
from kickover.planning.finishing import ListRow, RowNumbers
from kickover.planning.job_state import Job, Preparation, step_cost
from kickover.planning.step_costs import JobState
from kickover.session.riding_bans import ROAD, must_not_ride, standing_stops
from kickover.session.session import Session
from kickover.session.wording import lower_first, preparation_title, sentence

NO_LEAD = "Several ways lead here; likeliest"
NOT_YET = "It must not be ridden yet: have the lasting repair made and looked over first."
STOP_STANDS = "A STOP that you met on the way still stands: put that right before you ride."
Answer = tuple[str, int]


def list_node(gathered: Gathered) -> Node:
    """The end of the flow that points to a list."""
    return Node(
        list_id(gathered.letter),
        NodeKind.LIST,
        f"See list {gathered.letter} ({format_frequency(gathered.share)})",
        0.0,
    )


def list_id(letter: str) -> str:
    """The name of the node that points to a list."""
    return f"list {letter}"


def list_words(gathered: Gathered, others: Sequence[Gathered], command: str) -> FinishingList:
    """A list in words; `others` are the other lists of the chart, `command` goes on with the walk."""
    session = gathered.place.positions[0].session
    proof = session.complaint.proof
    setups = [session.library.setups[one] for one in proof.needs]
    how = [f"First: {lower_first(setup.title)}." for setup in setups]
    how += [*proof.how, *([NOT_ON_THE_ROAD] if ROAD in proof.hazards else [])]
    share = gathered.share
    return FinishingList(
        letter=gathered.letter,
        node=list_id(gathered.letter),
        title=_title(session.library, gathered, [other.place for other in others]),
        share=share,
        mended=gathered.confirmed / share,
        minutes=gathered.minutes / share,
        rows=tuple(_rows(gathered, session)),
        proof=proof.ask,
        proof_minutes=proof.minutes,
        proof_how=tuple(how),
        proof_cautions=_hazards(proof.hazards, *(setup.needs.hazards for setup in setups)),
        closing=tuple(_closing(gathered, command)),
    )


def _rows(gathered: Gathered, session: Session) -> Iterator[ListedCause]:
    job_states = any(standing_stops(position.session) for position in gathered.place.positions)
    made: dict[str, int] = {}
    for number, (row, worked) in enumerate(zip(gathered.rows, gathered.outcome.rows, strict=True), 1):
        earlier = made.get(row.check) if row.check is not None else None
        yield _row(session, row, worked, gathered.share, job_states=job_states, earlier=earlier)
        if row.check is not None:
            made.setdefault(row.check, number)


def _row(
    session: Session, row: ListRow, worked: RowNumbers, share: float, *, job_states: bool, earlier: int | None
) -> ListedCause:
    library = session.library
    repair = session.model.repairs[row.repair]
    check = None if row.check is None else session.model.checks[row.check]
    check_needs = Needs(minutes=0.0) if check is None else check.needs
    preparations = [
        *_preparations(session, worked.before_check, check_needs),
        *_preparations(session, worked.before_repair, repair.needs),
    ]
    setups = [
        library.setups[preparation.setup].needs
        for preparation in preparations
        if preparation.setup and not preparation.undo
    ]
    ended = [
        library.setups[preparation.setup].needs
        for preparation in preparations
        if preparation.setup and _ends(library, preparation.setup)
    ]
    needs = [check_needs, repair.needs, *setups, *ended]
    items = dict.fromkeys(item for one in needs for item in (*one.tools, *one.spares))
    unsafe = any(not library.causes[cause].ride for cause in row.causes)
    ban = NOT_YET if unsafe and repair.roadside else STOP_STANDS if job_states else ""
    shows: tuple[str, ...] = ()
    if check is not None:
        ranges = spans(session.model, check)
        unit = check.reading.unit if check.reading else ""
        for place in row.shows:
            limit = f" ({span_words(ranges[place], unit)})" if check.reading else ""
            shows = (*shows, f"{_answer(check.findings[place].title)}{limit}")
    ask = "" if check is None else check.ask
    if earlier is not None:
        ask = f"As seen for row {earlier}: {lower_first(ask)}"
    return ListedCause(
        title=_causes(library, row),
        chance=worked.cured / share,
        shown=worked.shown / worked.reached if worked.reached else 0.0,
        cured=worked.cured / worked.shown if worked.shown else 0.0,
        minutes=repair.needs.minutes,
        repair=repair.title,
        check=ask,
        check_minutes=0.0 if earlier is not None else check_needs.minutes,
        check_how=() if check is None or earlier is not None else check.how,
        shows=shows,
        first=tuple(
            dict.fromkeys(
                lower_first(preparation_title(library, preparation)) for preparation in preparations
            )
        ),
        repair_how=repair.how,
        mending=tuple(_mending(session, repair, row)),
        tools=tuple(library.items[item].title for item in items),
        cautions=_hazards(*(one.hazards for one in needs)),
        stops=() if check is None or earlier is not None else _stops(check),
        ban=ban,
    )


def _causes(library: Library, row: ListRow) -> str:
    first, *others = (library.title_of(cause) for cause in row.causes)
    return " or ".join((first, *(lower_first(other) for other in others)))


def _stops(check: Check) -> tuple[str, ...]:
    """What each stop of a check is said for: the answers that have the same one together."""
    by_words: dict[str, list[str]] = {}
    for finding in check.findings:
        if finding.stop:
            by_words.setdefault(finding.stop, []).append(finding.title)
    return tuple(
        f"{' or '.join((titles[0], *(lower_first(title) for title in titles[1:])))}: {words}"
        for words, titles in by_words.items()
    )


def _ends(library: Library, setup: SetupId) -> bool:
    return library.setups[setup].danger


def _mending(session: Session, repair: Repair, row: ListRow) -> Iterator[str]:
    """What is to be said of a repair besides how it is done, and the lasting one after a roadside one."""
    for name, words in (("Tighten", repair.torque), ("Lock", repair.locking), ("It lasts", repair.lasts)):
        if words:
            yield sentence(f"{name}: {words}")
    if not repair.roadside:
        return
    yield "Roadside repair: it gets you home."
    lasting = [
        lower_first(one.title)
        for one in session.model.repairs.values()
        if not one.roadside and row.causes[0] in one.cures
    ]
    if lasting:
        yield sentence(f"The lasting repair: {'; or '.join(lasting[:2])}")


def _preparations(session: Session, job_states: Iterable[JobState], needs: Needs) -> tuple[Preparation, ...]:
    """What has to be in place, undone or ended before a step, from any of `job_states`."""
    step_costs = step_costs_of(session.model, session.job)
    found: dict[tuple[str, bool], Preparation] = {}
    for job_state in sorted(job_states, key=lambda one: (one.in_place, one.spot, sorted(one.houses))):
        flags = np.unpackbits(
            np.frombuffer(job_state.in_place, dtype=np.uint8), count=len(step_costs.setup_ids)
        )
        in_place = frozenset(one for one, flag in zip(step_costs.setup_ids, flags, strict=True) if flag)
        taken = step_cost(
            session.library, Job(job_state.houses, session.job.kit, in_place, job_state.spot), needs
        )
        for preparation in taken.preparations if taken else ():
            found.setdefault((preparation.setup or preparation.wait_for or "", preparation.undo), preparation)
    return tuple(found.values())


def _hazards(*named: Sequence[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one for some in named for one in some))


def _closing(gathered: Gathered, command: str) -> Iterator[str]:
    left = max(0.0, 1.0 - gathered.confirmed / gathered.share)
    yield (
        f"After the last row ({chance_words(left)} that come here are not cured by then): go on with the "
        f"walk, or call a mechanic. On the phone: {command}"
    )
    forbidden = [must_not_ride(position.session) for position in gathered.place.positions]
    if all(forbidden):
        yield f"{MUST_NOT_RIDE} Push it, or have it fetched."
    elif any(forbidden):
        yield "With some of the causes on this list it must not be ridden: find out before you ride."


def _title(library: Library, gathered: Gathered, others: Sequence[Place]) -> str:
    """When one comes to a list: the answers of all or most who do, those first that others have least."""
    place = gathered.place
    own, share = _answers(place), place.share
    beside = Counter[Answer]()
    elsewhere = 0.0
    for other in others:
        beside.update(_answers(other))
        elsewhere += other.share

    def apart(answer: Answer) -> float:
        return own[answer] / share - (beside[answer] / elsewhere if elsewhere else 0.0)

    common = [answer for answer in own if own[answer] >= 0.5 * share and apart(answer) > 0.05]
    common.sort(key=lambda answer: (-round(apart(answer), 9), answer))
    if not common:
        worked = sorted(zip(gathered.outcome.rows, gathered.rows, strict=True), key=lambda one: -one[0].cured)
        likely = [lower_first(library.title_of(row.causes[0])) for _, row in worked[:2]]
        return f"{NO_LEAD}: {'; or '.join(likely)}"
    words = []
    for check, finding in common[:2]:
        known = library.checks[check]  # type: ignore[index]
        mostly = "" if own[check, finding] >= 0.999 * share else "mostly "
        words.append(f"{lower_first(known.title)}: {mostly}{_answer(known.findings[finding].title)}")
    return sentence("; ".join(words))[:-1]


def _answer(title: str) -> str:
    return title if title.startswith("I ") else lower_first(title)


def _answers(place: Place) -> Counter[Answer]:
    found: Counter[Answer] = Counter()
    for position in place.positions:
        for one in position.session.evidence:
            found[one.check, one.seen] += position.share  # type: ignore[assignment]
    return found
