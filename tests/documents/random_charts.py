"""Random charts for property tests: any kinds in any order, up to eight ways on, some of them back."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import strategies as st

from documents.small_chart import KILOHMS, spark_chart
from kickover.documents.charts.chart import ENDS, Branch, Chart, FinishingList, ListedCause, Node, NodeKind

_WORDS = st.text(alphabet="abcdeijlmnotuvw жΩ≥é", min_size=1, max_size=70)
_LIST = "list A"
_CAUTIONS = tuple(caution.id for caution in spark_chart().cautions)


@st.composite
def charts(draw: st.DrawFn) -> Chart:
    """A chart of at most 14 steps, each of which leads to later ones, to nothing, or now and then back."""
    count = draw(st.integers(1, 13))
    nodes = [_node(draw, index, count) for index in range(count)]
    nodes.append(Node(f"n{count}", NodeKind.GIVE_UP, draw(_WORDS), 0))
    nodes.append(Node(_LIST, NodeKind.LIST, draw(_WORDS), 0))
    return replace(spark_chart(), start="n0", nodes=tuple(nodes), lists=(_listed(draw),))


def _listed(draw: st.DrawFn) -> FinishingList:
    rows = tuple(_row(draw) for _ in range(draw(st.integers(1, 4))))
    words = (draw(_WORDS), draw(_WORDS))
    return FinishingList("A", _LIST, draw(_WORDS), 0.2, 0.7, 40.0, rows, draw(_WORDS), 2.0, words, (), words)


def _row(draw: st.DrawFn) -> ListedCause:
    looked_for = draw(st.booleans())
    return ListedCause(
        draw(_WORDS),
        0.1,
        0.3,
        0.9,
        draw(st.sampled_from([0.5, 12])),
        draw(_WORDS),
        check=draw(_WORDS) if looked_for else "",
        check_minutes=1.5 if looked_for else 0.0,
        shows=(draw(_WORDS),) if looked_for else (),
        first=tuple(draw(st.lists(_WORDS, max_size=2))),
        repair_how=(draw(_WORDS),),
        cautions=tuple(draw(st.sets(st.sampled_from(_CAUTIONS), max_size=3))),
        ban=draw(st.sampled_from(["", "Do not ride."])),
    )


def _node(draw: st.DrawFn, index: int, count: int) -> Node:
    kind = draw(st.sampled_from([kind for kind in NodeKind if kind not in ENDS]))
    targets = [None, *(f"n{one}" for one in range(max(0, index - 1), count + 1)), _LIST]
    ways = draw(st.lists(st.sampled_from(targets), min_size=1, max_size=8))
    branches = tuple(
        Branch(draw(_WORDS), 1 / len(ways), target, stop=draw(st.sampled_from(["", "", "Do not ride."])))
        for target in ways
    )
    return Node(
        f"n{index}",
        kind,
        draw(_WORDS),
        draw(st.sampled_from([0, 0.5, 12])),
        branches,
        lines=tuple(draw(st.lists(_WORDS, max_size=3))),
        cautions=tuple(draw(st.sets(st.sampled_from(_CAUTIONS), max_size=3))),
        reading=KILOHMS if kind is NodeKind.CHECK else None,
    )
