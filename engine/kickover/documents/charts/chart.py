"""A chart as a value: what a flowchart, a set of sheets and an offline page are all made from.

Whoever compiles a chart has decided everything in it, down to the words and the limits; nothing that
draws it reasons, converts a unit or looks anything up.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from kickover.core.problem import KickoverError


class ChartError(KickoverError):
    """A chart that does not hang together."""


class NodeKind(StrEnum):
    """What a node asks of a person."""

    CHECK = "check"
    REPAIR = "repair"
    SETUP = "setup"
    PROOF = "proof"
    GIVE_UP = "give-up"
    LIST = "list"


ENDS = frozenset({NodeKind.GIVE_UP, NodeKind.LIST})
"""The kinds of nodes with which the flow ends."""


@dataclass(frozen=True, slots=True)
class Caution:
    """A hazard in the words that must stand with every step that has it."""

    id: str
    title: str
    words: str


@dataclass(frozen=True, slots=True)
class UnitChoice:
    """A unit in which a reading may be typed: `times` x typed + `plus` is the value in the chart's unit."""

    name: str
    times: float
    plus: float = 0.0


@dataclass(frozen=True, slots=True)
class ChartReading:
    """How a measured node is read: the unit of its limits, the units it may be typed in, what can be."""

    unit: str
    units: tuple[UnitChoice, ...]
    least: float
    most: float


@dataclass(frozen=True, slots=True)
class Branch:
    """One way on from a node: its label, how likely it is, and the node it leads to (None: solved).

    `low` and `high` bound the readings that take this branch, from `low` up to but not including `high`,
    in the reading's unit. `stop` is shown before anything else when the branch is taken.
    """

    label: str
    probability: float
    target: str | None
    low: float | None = None
    high: float | None = None
    stop: str = ""


@dataclass(frozen=True, slots=True)
class Node:
    """One step: `title` is its question or what is done, `lines` how, `cautions` ids of its hazards.

    `minutes` are hands-on minutes; `tools` and `note` are in words; `sketch` is drawn in characters.
    """

    id: str
    kind: NodeKind
    title: str
    minutes: float
    branches: tuple[Branch, ...] = ()
    lines: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    reading: ChartReading | None = None
    sketch: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class LimitRow:
    """One line of the table of limits: what is measured, what is right, and where that comes from."""

    title: str
    limit: str
    source: str


@dataclass(frozen=True, slots=True)
class ListedCause:
    """One row of a finishing list: likely causes, the check that shows them, and what mends them.

    `chance` is the share of all that come to the list that the row cures; `shown` the share of those that
    come to the row that make its repair, and `cured` the share of these that it cures. Without a `check` the
    repair is made at once. `first` is what must be in place or ended before, where it is not so yet, `shows`
    the answers that speak for the row, `mending` what else is to be said of the repair. `stops` are shown
    with the check, `ban` when the row has cured it. `check_minutes` and `minutes` are hands-on minutes of the
    check and of the repair, without what must be in place first; a check that was made higher up takes none.
    """

    title: str
    chance: float
    shown: float
    cured: float
    minutes: float
    repair: str
    check: str = ""
    check_minutes: float = 0.0
    check_how: tuple[str, ...] = ()
    shows: tuple[str, ...] = ()
    first: tuple[str, ...] = ()
    repair_how: tuple[str, ...] = ()
    mending: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    stops: tuple[str, ...] = ()
    ban: str = ""


@dataclass(frozen=True, slots=True)
class FinishingList:
    """A troubleshooting table that is worked down in order where the flow ends; `node` points to it.

    `title` says when one comes here, `share` how many of all walks do, `mended` how many of those it mends,
    in `minutes` on average. After each repair comes the proof, which takes `proof_minutes`; `closing` is for
    whoever is left at the end.
    """

    letter: str
    node: str
    title: str
    share: float
    mended: float
    minutes: float
    rows: tuple[ListedCause, ...]
    proof: str
    proof_minutes: float
    proof_how: tuple[str, ...]
    proof_cautions: tuple[str, ...]
    closing: tuple[str, ...]

    @property
    def cautions(self) -> tuple[str, ...]:
        """The ids of all its cautions, each once."""
        named = (caution for row in self.rows for caution in row.cautions)
        return tuple(dict.fromkeys((*named, *self.proof_cautions)))


@dataclass(frozen=True, slots=True)
class Chart:
    """A whole chart for one complaint of one machine. Raises ChartError when it does not hang together."""

    complaint: str
    machine: str
    library: str
    start: str
    nodes: tuple[Node, ...]
    cautions: tuple[Caution, ...] = ()
    limits: tuple[LimitRow, ...] = ()
    notes: tuple[str, ...] = ()
    lists: tuple[FinishingList, ...] = ()

    def __post_init__(self) -> None:
        wrong = next(_faults(self), None)
        if wrong:
            raise ChartError(f"chart of {self.complaint!r}: {wrong}")

    def node(self, id_: str) -> Node:
        """The node of that id."""
        return next(node for node in self.nodes if node.id == id_)

    def caution(self, id_: str) -> Caution:
        """The caution of that id."""
        return next(caution for caution in self.cautions if caution.id == id_)

    def cautions_in_words(self, ids: Iterable[str]) -> str:
        """The titles of cautions as they stand in a line."""
        return ", ".join(self.caution(id_).title.lower() for id_ in ids)

    def list_at(self, node: str) -> FinishingList:
        """The finishing list to which a node points."""
        return next(list_ for list_ in self.lists if list_.node == node)


def _faults(chart: Chart) -> Iterator[str]:
    known = {node.id for node in chart.nodes}
    cautions = {caution.id for caution in chart.cautions}
    counts = Counter(node.id for node in chart.nodes)
    yield from (f"two nodes are called {one!r}" for one, count in counts.items() if count > 1)
    if chart.start not in known:
        yield f"it starts at {chart.start!r}, which is not there"
    for node in chart.nodes:
        for branch in node.branches:
            if branch.target is not None and branch.target not in known:
                yield f"{node.id!r} leads to {branch.target!r}, which is not there"
            if not 0 <= branch.probability <= 1:
                yield f"{node.id!r} has a branch of probability {branch.probability:g}"
        for caution in node.cautions:
            if caution not in cautions:
                yield f"{node.id!r} names the caution {caution!r}, which is not there"
        if not node.branches and node.kind not in ENDS:
            yield f"{node.id!r} leads nowhere"
    pointed = {node.id for node in chart.nodes if node.kind is NodeKind.LIST}
    listed = [one.node for one in chart.lists]
    if sorted(pointed) != sorted(listed):
        yield f"its lists {sorted(listed)} are not those that it points to, {sorted(pointed)}"
    for list_ in chart.lists:
        for caution in set(list_.cautions) - cautions:
            yield f"list {list_.letter} names the caution {caution!r}, which is not there"
