"""Compiles a chart from a walk: the whole decision graph of its next steps, in words, with exact numbers.

It follows the session and never reasons itself, so a chart and a walk cannot disagree. What is too rare to
print as steps goes on in a finishing list, which is worked down in order.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from kickover.core.ids import CheckId
from kickover.documents.charts.chart import Branch, Caution, Chart, FinishingList, Node
from kickover.documents.charts.compile_list_words import list_id, list_node, list_words
from kickover.documents.charts.compile_lists import MOST_LISTS, Gathered, gather
from kickover.documents.charts.compile_moves import GONE, Moves, Position, StepKey
from kickover.documents.charts.compile_places import Place, Places, places_of
from kickover.documents.charts.compile_readings import limit_rows, spans
from kickover.documents.charts.compile_words import format_frequency, give_up_words, solved_stop, step_words
from kickover.documents.model_wording import chance_words, minutes_words
from kickover.model.library import Check, Library
from kickover.planning.policy import Policy, PolicyBranch, PolicyNode, Pruning, compile_policy
from kickover.session.session import Phase, Session
from kickover.session.wording import lower_first

LEAST_SHARE = 0.01
DEEPEST = 60
BEYOND = "beyond"
"""The name of the end where nothing at hand mends any likely cause, so that there is no list."""
INVENTED = "The machine is invented for the demonstration."
LISTS = (
    "A list is worked down in order: make the check of a row; when it shows the cause, make the repair and "
    "prove it; else go to the next row. A check that you made on the way counts as you found it then."
)
UNABLE = "Where you cannot do a step, or get no clear answer, go on with the walk or call a mechanic."


@dataclass(frozen=True, slots=True)
class Printing:
    """What to print: the least share of walks worth a check, how many steps deep, and how it is headed.

    At most `most_lists` finishing lists take up what is beyond the steps.
    `kit` says in words what is at hand; `command` is what goes on with the walk.
    """

    least_share: float = LEAST_SHARE
    deepest: int = DEEPEST
    kit: str = ""
    command: str = "kickover walk"
    most_lists: int = MOST_LISTS


@dataclass(frozen=True, slots=True)
class Compiled:
    """A chart, with the policy and the places that it was made from; `steps` names the chart's nodes.

    `lists` are what the finishing lists were made from.
    """

    chart: Chart
    policy: Policy
    places: Places
    steps: tuple[str, ...]
    lists: tuple[Gathered, ...] = ()

    @property
    def by_lists(self) -> float:
        """The share of walks that end in a confirmed repair on a finishing list."""
        return sum(list_.confirmed for list_ in self.lists)

    @property
    def confirmed(self) -> float:
        """The share of walks that end in a confirmed repair on this chart, by its steps or its lists."""
        return self.policy.confirmed + self.by_lists

    @property
    def minutes(self) -> float:
        """The expected minutes to a confirmed repair or to an end of this chart, its lists worked down."""
        return self.policy.minutes + sum(list_.minutes for list_ in self.lists)


def compile_chart(
    session: Session, printing: Printing = Printing(), tick: Callable[[], None] = lambda: None
) -> Compiled:
    """Compile the chart of a walk that has just begun. `tick` is called for each position worked out."""
    moves = Moves(printing.least_share, tick)
    start = Position(session, 1.0)
    policy = compile_policy(start, moves.move, Pruning(least_share=0.0, deepest=printing.deepest))
    places = places_of(policy, start, moves.move)
    return _Writing(session, printing, policy, places).compiled()


class _Writing:
    def __init__(self, session: Session, printing: Printing, policy: Policy, places: Places) -> None:
        self._session = session
        self._printing = printing
        self._policy = policy
        self._places = places
        self._ids = _ids(policy)
        self._lists = gather(places, printing.most_lists)
        self._list_of = {way: list_ for list_ in self._lists if list_.rows for way in list_.ways}

    def compiled(self) -> Compiled:
        nodes = [
            self._written(number, node)
            for number, node in enumerate(self._policy.nodes)
            if node.step is not None
        ]
        kept = [list_ for list_ in self._lists if list_.rows]
        nodes += [list_node(one) for one in kept]
        bare = [position for list_ in self._lists if not list_.rows for position in list_.place.positions]
        if bare:
            nodes.append(give_up_words(BEYOND, Place(bare)))
        lists = [
            list_words(one, [other for other in kept if other is not one], self._printing.command)
            for one in kept
        ]
        library = self._session.library
        chart = Chart(
            complaint=self._session.complaint.gate.title,
            machine=self._session.model.machine.title,
            library=f"{library.title}, version {library.version}",
            start=nodes[0].id,
            nodes=tuple(nodes),
            cautions=tuple(_cautions(library, nodes, lists)),
            limits=tuple(limit_rows(self._session.model, self._checks())),
            notes=tuple(self._notes()),
            lists=tuple(lists),
        )
        return Compiled(chart, self._policy, self._places, self._ids, self._lists)

    def _written(self, number: int, node: PolicyNode) -> Node:
        place = self._places.at[number]
        branches = tuple(self._branch(number, node, way) for way in node.ways)
        return replace(step_words(self._ids[number], place), branches=branches)

    def _branch(self, number: int, node: PolicyNode, way: PolicyBranch) -> Branch:
        chance = min(1.0, way.share / node.share)
        target = self._target(number, way)
        assert isinstance(node.step, StepKey)
        if node.step.phase is Phase.PROOF:
            if way.name == GONE:
                return Branch("Yes, it is cured", chance, target, stop=solved_stop(node.step))
            return Branch("No, still the same", chance, target)
        if node.step.phase is not Phase.CHECK:
            return Branch("", chance, target)
        check = self._session.library.checks[CheckId(node.step.id)]
        index = next(index for index, one in enumerate(check.findings) if one.id == way.name)
        low, high = spans(self._session.model, check)[index]
        finding = check.findings[index]
        return Branch(finding.title, chance, target, low, high, finding.stop)

    def _target(self, number: int, way: PolicyBranch) -> str | None:
        if way.target is None:
            return None
        if self._policy.nodes[way.target].step is not None:
            return self._ids[way.target]
        gathered = self._list_of.get((number, way.name))
        return BEYOND if gathered is None else list_id(gathered.letter)

    def _checks(self) -> Iterator[Check]:
        """The checks of the chart and its lists, once each."""
        named = dict.fromkeys(
            node.step.id
            for node in self._policy.nodes
            if isinstance(node.step, StepKey) and node.step.phase is Phase.CHECK
        )
        named |= dict.fromkeys(
            row.check for list_ in self._lists for row in list_.rows if row.check is not None
        )
        return (self._session.library.checks[CheckId(id_)] for id_ in named)

    def _notes(self) -> Iterator[str]:
        session, printing = self._session, self._printing
        if printing.kit:
            yield f"At hand: {lower_first(printing.kit)}."
        houses = [lower_first(session.library.houses[house].title) for house in sorted(session.job.houses)]
        if houses:
            yield f"It holds for this situation: {'; '.join(houses)}."
        yield from self._how_far()
        yield (
            "A further check is printed as a step where at least "
            f"{format_frequency(printing.least_share)} walks come to it; the rest goes on in a list. {UNABLE}"
        )
        if session.model.machine.invented:
            yield INVENTED

    def _how_far(self) -> Iterator[str]:
        """How many walks end in a confirmed repair, and in which time; all of it exact by the model."""
        steps = self._policy.confirmed
        by_lists = sum(list_.confirmed for list_ in self._lists)
        minutes = self._policy.minutes + sum(list_.minutes for list_ in self._lists)
        yield (
            f"By the rates of the library, {chance_words(steps + by_lists)} walks end in a confirmed repair "
            f"on this chart: {format_frequency(steps)} by its steps, {format_frequency(by_lists)} by its "
            "lists. "
            f"On average it takes {minutes_words(round(minutes, 1))} "
            "to a confirmed repair or to the end of a list."
        )
        if any(list_.rows for list_ in self._lists):
            yield LISTS


def _ids(policy: Policy) -> tuple[str, ...]:
    """A name for each step, by its task, with a number from the second one of a kind on."""
    seen: Counter[str] = Counter()
    ids = []
    for node in policy.nodes:
        step = node.step
        if not isinstance(step, StepKey):
            ids.append("")
            continue
        name = " ".join(part for part in (step.phase, "back" if step.undo else "", step.id) if part)
        seen[name] += 1
        ids.append(name if seen[name] == 1 else f"{name} {seen[name]}")
    return tuple(ids)


def _cautions(library: Library, nodes: list[Node], lists: list[FinishingList]) -> Iterator[Caution]:
    used = {caution for node in nodes for caution in node.cautions} | {
        caution for part in lists for caution in part.cautions
    }
    for id_, hazard in library.hazards.items():
        if id_ in used:
            yield Caution(id_, hazard.title, hazard.caution)
