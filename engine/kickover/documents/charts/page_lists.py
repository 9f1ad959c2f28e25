"""A finishing list as the stages of a guided walk: for each row its check, its repair and its proof."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kickover.documents.charts.chart import Branch, FinishingList, ListedCause, Node, NodeKind
from kickover.documents.charts.list_text import AT_ONCE, facts, few

SHOWS, NOT_IT, CURED, THE_SAME = "Shows it", "Not it", "Cured", "Still the same"
MECHANIC = "Go on with the walk, or call a mechanic"


@dataclass(frozen=True, slots=True)
class ListStage:
    """One stage: a node with where it stands in the list, and the stops to read with it."""

    node: Node
    place: str
    stops: tuple[str, ...] = ()


def list_nodes(listed: FinishingList) -> Iterator[ListStage]:
    """The stages of a list, the first with the id of the node that points to it."""
    start = Node(
        listed.node,
        NodeKind.LIST,
        f"List {listed.letter}: {listed.title}",
        0.0,
        (Branch("Begin the list", 1.0, _row_id(listed, 0)),),
        lines=(
            "Work it down in order. When a check shows the cause, make the repair and prove it; else go "
            "to the next row. A check that you made on the way counts as you found it then.",
        ),
        note=facts(listed),
    )
    yield ListStage(start, f"List {listed.letter}, {len(listed.rows)} rows")
    for number, row in enumerate(listed.rows):
        yield from _row_stages(listed, number, row)
    end = Node(_row_id(listed, len(listed.rows)), NodeKind.GIVE_UP, MECHANIC, 0.0, lines=listed.closing)
    yield ListStage(end, f"List {listed.letter}, after the last row")


def _row_id(listed: FinishingList, number: int) -> str:
    return f"{listed.node} row {number + 1}" if number < len(listed.rows) else f"{listed.node} end"


def _row_stages(listed: FinishingList, number: int, row: ListedCause) -> Iterator[ListStage]:
    id_, after = _row_id(listed, number), _row_id(listed, number + 1)
    place = f"List {listed.letter}, row {number + 1} of {len(listed.rows)}"
    first = (f"Where it is not so yet, first: {'; '.join(row.first)}.",) if row.first else ()
    cause = f"Likely cause: {row.title} ({few(row.chance)})"
    repair_id = f"{id_} repair" if row.check else id_
    if row.check:
        check = Node(
            id_,
            NodeKind.CHECK,
            row.check,
            row.check_minutes,
            (Branch(SHOWS, row.shown, repair_id), Branch(NOT_IT, 1.0 - row.shown, after)),
            lines=(*first, *row.check_how, f"It shows it: {' or '.join(row.shows)}."),
            tools=row.tools,
            cautions=row.cautions,
            note=cause,
        )
        yield ListStage(check, place, row.stops)
    yield ListStage(
        Node(
            repair_id,
            NodeKind.REPAIR,
            row.repair,
            row.minutes,
            (Branch("Done, go on", 1.0, f"{id_} proof"),),
            lines=(*first, *row.repair_how, *row.mending)
            if not row.check
            else (*row.repair_how, *row.mending),
            tools=row.tools,
            cautions=row.cautions,
            note=cause if row.check else f"{cause}. {AT_ONCE}",
        ),
        place,
    )
    yield ListStage(
        Node(
            f"{id_} proof",
            NodeKind.PROOF,
            listed.proof,
            listed.proof_minutes,
            (
                Branch(CURED, row.cured, None, stop=row.ban),
                Branch(THE_SAME, 1.0 - row.cured, after),
            ),
            lines=("Put everything back first.", *listed.proof_how),
            cautions=listed.proof_cautions,
        ),
        place,
    )
