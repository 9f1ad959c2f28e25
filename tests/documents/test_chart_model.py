from __future__ import annotations

from dataclasses import replace

import pytest

from documents.small_chart import long_chart, spark_chart
from kickover.documents.charts.chart import Branch, Chart, ChartError, Node, NodeKind
from kickover.documents.charts.chart_order import in_order, numbered, runs_of


def with_node(chart: Chart, node: Node) -> Chart:
    return replace(chart, nodes=tuple(node if one.id == node.id else one for one in chart.nodes))


def test_a_branch_to_nowhere_is_refused() -> None:
    chart = spark_chart()
    broken = replace(chart.node("plug-out"), branches=(Branch("", 1.0, "missing"),))
    with pytest.raises(ChartError, match="'plug-out' leads to 'missing'"):
        with_node(chart, broken)


def test_two_nodes_of_one_name_are_refused() -> None:
    chart = spark_chart()
    with pytest.raises(ChartError, match="two nodes are called 'switch'"):
        replace(chart, nodes=(*chart.nodes, chart.nodes[0]))


def test_a_hazard_without_its_words_is_refused() -> None:
    chart = spark_chart()
    with pytest.raises(ChartError, match="names the caution 'high-voltage'"):
        replace(chart, cautions=chart.cautions[1:])


def test_only_giving_up_may_be_an_end() -> None:
    chart = spark_chart()
    with pytest.raises(ChartError, match="'wire' leads nowhere"):
        with_node(chart, replace(chart.node("wire"), branches=()))


@pytest.mark.parametrize("chart", [spark_chart(), long_chart(9)], ids=["spark", "long"])
def test_every_step_is_numbered_once_from_the_start(chart: Chart) -> None:
    assert set(numbered(chart)) == {node.id for node in chart.nodes}
    assert [numbered(chart)[node.id] for node in in_order(chart)] == list(range(1, len(chart.nodes) + 1))
    assert numbered(chart)[chart.start] == 1


def test_every_step_is_in_one_run_or_beside_one_and_givings_up_come_last() -> None:
    chart = long_chart(9)
    drawn = [
        id_
        for run in runs_of(chart)
        for stage in run
        for id_ in (stage.node.id, *(step.id for side in stage.sides for step in side.steps))
    ]
    assert sorted(drawn) == sorted(node.id for node in chart.nodes if node.kind is not NodeKind.GIVE_UP)
    assert in_order(chart)[-1].kind is NodeKind.GIVE_UP


def test_a_repair_that_comes_back_to_the_run_stands_beside_it() -> None:
    first = runs_of(spark_chart())[0][0]
    assert [step.id for step in first.sides[0].steps] == ["switch-run", "proof-1"]
    assert [branch.label for branch in first.onward] == ["Yes"]


def test_a_chart_that_comes_back_to_an_earlier_step_is_still_read_once() -> None:
    chart = spark_chart()
    again = replace(chart.node("proof-3"), branches=(Branch("No", 1.0, "switch"),))
    assert len(in_order(with_node(chart, again))) == len(chart.nodes)
