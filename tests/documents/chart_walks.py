"""Walks through a compiled chart, beside a session that knows nothing of the chart."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kickover.core.ids import EventId
from kickover.documents.charts.chart import Branch, Chart, Node, NodeKind
from kickover.documents.charts.compiling import BEYOND
from kickover.session.entries import Answered, Entry, Prepared, Proved, Repaired, Waited
from kickover.session.session import Phase, Session


@dataclass(frozen=True)
class Stop:
    """One step of a walk through a chart: the node, the session there, the share of walks that come so."""

    node: Node
    session: Session
    share: float


def walks(chart: Chart, session: Session) -> Iterator[Stop]:
    """Every step of every path of a chart, each with a session that was asked afresh."""
    nodes = {node.id: node for node in chart.nodes}
    stack = [Stop(nodes[chart.start], session, 1.0)]
    while stack:
        stop = stack.pop()
        yield stop
        for branch in stop.node.branches:
            if branch.target is not None:
                after = stop.session.record(entry_for(stop, branch))
                stack.append(Stop(nodes[branch.target], after, stop.share * chance(after)))


def chance(after: Session) -> float:
    """How likely the last entry was, by the session's own belief."""
    assert after.before is not None
    before, entry = after.before, after.entries[-1]
    if isinstance(entry, Answered):
        return after.belief.evidence_probability
    if isinstance(entry, Proved):
        assert before.proving is not None
        cured = before.belief.cured_by(before.proving)
        return cured if entry.gone else 1.0 - cured
    return 1.0


def entry_for(stop: Stop, branch: Branch) -> Entry:
    """What a person who takes this branch would record, from the words of the branch alone."""
    session, task = stop.session, stop.session.task()
    if task.phase is Phase.CHECK:
        findings = session.library.checks[task.id].findings  # type: ignore[index]
        return Answered(task.id, next(finding.id for finding in findings if finding.title == branch.label))
    if task.phase is Phase.REPAIR:
        return Repaired(task.id)
    if task.phase is Phase.PROOF:
        return Proved(branch.label.startswith("Yes"))
    assert task.preparation is not None
    if task.preparation.wait_for is not None:
        return Waited(task.preparation.wait_for)
    return Prepared(task.id, task.preparation.undo)


def is_beyond(node: Node) -> bool:
    """True for a step where the chart was cut."""
    return node.kind is NodeKind.LIST or node.id == BEYOND


def leading_by_node(stops: list[Stop]) -> dict[str, EventId]:
    """The likeliest cause at each node, from the sessions' own rankings weighed by their shares."""
    masses: dict[str, dict[EventId, float]] = {}
    for stop in stops:
        mass = masses.setdefault(stop.node.id, {})
        for ranked in stop.session.belief.ranking():
            mass[ranked.cause] = mass.get(ranked.cause, 0.0) + stop.share * ranked.probability
    return {
        id_: min(mass, key=lambda cause: (-round(mass[cause], 9), cause))
        for id_, mass in masses.items()
        if mass
    }
