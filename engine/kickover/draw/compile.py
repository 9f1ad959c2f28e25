"""Compiles a chart from a walk: the whole decision graph of its next steps, in words, with exact numbers.

It follows the session and never reasons itself, so a chart and a walk cannot disagree. What is too rare to
print ends in a step that says what is likely beyond it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from kickover.draw.chart_model import Branch, Caution, Chart, Node
from kickover.draw.compile_moves import GONE, Moves, Position, StepKey
from kickover.draw.compile_places import Likely, Place, Places, places_of
from kickover.draw.compile_readings import limit_rows, spans
from kickover.draw.compile_words import rarely, rest_words, solved_stop, step_words
from kickover.draw.wording import chance_words, minutes_words
from kickover.ids import CheckId
from kickover.library.model import Check, Library
from kickover.reason.policy import Policy, PolicyNode, Pruning, Way, compile_policy
from kickover.walk.session import Phase, Session
from kickover.walk.wording import lower_first

LEAST_SHARE = 0.01
DEEPEST = 60
NAMED = 0.4
"""A cause beyond the chart is named when it is at least so likely there (estimate)."""
INVENTED = "The machine is invented for the demonstration."
UNABLE = "Where you cannot do a step, or get no clear answer, go on with the walk or call a mechanic."


@dataclass(frozen=True, slots=True)
class Printing:
    """What to print: the least share of walks worth a check, how many steps deep, and how it is headed.

    `kit` says in words what is at hand; `command` is what goes on with the walk.
    """

    least_share: float = LEAST_SHARE
    deepest: int = DEEPEST
    kit: str = ""
    command: str = "kickover walk"


@dataclass(frozen=True, slots=True)
class Compiled:
    """A chart, with the policy and the places that it was made from; `steps` names the chart's nodes."""

    chart: Chart
    policy: Policy
    places: Places
    steps: tuple[str, ...]


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
        self._rests: dict[str, tuple[Likely | None, Place]] = {}

    def compiled(self) -> Compiled:
        nodes = [
            self._written(number, node)
            for number, node in enumerate(self._policy.nodes)
            if node.step is not None
        ]
        nodes += [
            rest_words(id_, place, likely, self._printing.command)
            for id_, (likely, place) in self._rests.items()
        ]
        library = self._session.library
        chart = Chart(
            complaint=self._session.complaint.gate.title,
            machine=self._session.model.machine.title,
            library=f"{library.title}, version {library.version}",
            start=nodes[0].id,
            nodes=tuple(nodes),
            cautions=tuple(_cautions(library, nodes)),
            limits=tuple(limit_rows(self._session.model, self._checks())),
            notes=tuple(self._notes()),
        )
        return Compiled(chart, self._policy, self._places, self._ids)

    def _written(self, number: int, node: PolicyNode) -> Node:
        place = self._places.at[number]
        branches = tuple(self._branch(number, node, way) for way in node.ways)
        return replace(step_words(self._ids[number], place), branches=branches)

    def _branch(self, number: int, node: PolicyNode, way: Way) -> Branch:
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

    def _target(self, number: int, way: Way) -> str | None:
        if way.target is None:
            return None
        if self._policy.nodes[way.target].step is not None:
            return self._ids[way.target]
        beyond = self._places.beyond[number, way.name]
        likely = next(iter(beyond.likely(1)), None)
        if likely is not None and likely.probability < NAMED:
            likely = None
        id_ = f"rest {likely.cause}" if likely else "rest"
        _, place = self._rests.setdefault(id_, (likely, Place()))
        place.positions.extend(beyond.positions)
        return id_

    def _checks(self) -> Iterator[Check]:
        """The checks of the chart, once each."""
        named = dict.fromkeys(
            node.step.id
            for node in self._policy.nodes
            if isinstance(node.step, StepKey) and node.step.phase is Phase.CHECK
        )
        return (self._session.library.checks[CheckId(id_)] for id_ in named)

    def _notes(self) -> Iterator[str]:
        session, policy, printing = self._session, self._policy, self._printing
        if printing.kit:
            yield f"At hand: {lower_first(printing.kit)}."
        houses = [lower_first(session.library.houses[one].title) for one in sorted(session.job.houses)]
        if houses:
            yield f"It holds for this situation: {'; '.join(houses)}."
        yield (
            f"By the rates of the library, {chance_words(policy.confirmed)} walks end in a confirmed repair "
            f"on this chart, and {rarely(policy.cut)} go on beyond it. On average it takes "
            f"{minutes_words(round(policy.minutes, 1))} to one of its ends."
        )
        yield (
            f"A further check is printed where at least {rarely(printing.least_share)} walks come to it. "
            f"{UNABLE}"
        )
        if session.model.machine.invented:
            yield INVENTED


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


def _cautions(library: Library, nodes: list[Node]) -> Iterator[Caution]:
    used = {one for node in nodes for one in node.cautions}
    for id_, hazard in library.hazards.items():
        if id_ in used:
            yield Caution(id_, hazard.title, hazard.caution)
