"""Random charts for property tests: any kinds in any order, up to eight ways on, some of them back."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import strategies as st

from draw.small_chart import KILOHMS, spark_chart
from kickover.draw.chart_model import Branch, Chart, Node, NodeKind

_WORDS = st.text(alphabet="abcdeijlmnotuvw жΩ≥é", min_size=1, max_size=70)
_CAUTIONS = tuple(caution.id for caution in spark_chart().cautions)


@st.composite
def charts(draw: st.DrawFn) -> Chart:
    """A chart of at most 14 steps, each of which leads to later ones, to nothing, or now and then back."""
    count = draw(st.integers(1, 13))
    nodes = [_node(draw, index, count) for index in range(count)]
    nodes.append(Node(f"n{count}", NodeKind.GIVE_UP, draw(_WORDS), 0))
    return replace(spark_chart(), start="n0", nodes=tuple(nodes))


def _node(draw: st.DrawFn, index: int, count: int) -> Node:
    kind = draw(st.sampled_from([kind for kind in NodeKind if kind is not NodeKind.GIVE_UP]))
    targets = [None, *(f"n{one}" for one in range(max(0, index - 1), count + 1))]
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
