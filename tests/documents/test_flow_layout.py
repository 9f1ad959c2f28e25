from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given, settings

from documents.random_charts import charts
from documents.small_chart import hostile_chart, long_chart, spark_chart
from kickover.documents.charts.chart import ENDS, Branch, Chart
from kickover.documents.charts.chart_order import numbered
from kickover.documents.charts.flow_band import WIDTH
from kickover.documents.charts.flow_layout import FlowSheet, lay_out
from kickover.documents.charts.flow_parts import Box

HIGH = 400.0


def room(cautions: Iterable[str]) -> float:
    return HIGH - 12 * len(list(cautions))


def apart(one: Box, other: Box) -> bool:
    return (
        one.x + one.wide <= other.x + 0.01
        or other.x + other.wide <= one.x + 0.01
        or one.y + one.high <= other.y + 0.01
        or other.y + other.high <= one.y + 0.01
    )


def words(sheet: FlowSheet) -> list[Box]:
    return [
        Box(tag.box.x, tag.box.y, tag.label.width, tag.label.height) for tag in sheet.tags if tag.label.width
    ]


def assert_tidy(chart: Chart) -> None:
    for sheet in lay_out(chart, room).sheets:
        symbols = [placed.box for placed in sheet.symbols]
        for one, other in combinations(symbols, 2):
            assert apart(one, other)
        for one, other in combinations(words(sheet), 2):
            assert apart(one, other)
        for label in words(sheet):
            assert all(apart(label, symbol) for symbol in symbols)
        for box in (*symbols, *words(sheet)):
            assert box.x >= -0.01
            assert box.x + box.wide <= WIDTH + 0.01
            assert box.y >= -0.01
            assert box.y + box.high <= room(sheet.cautions) + 0.01


@pytest.mark.parametrize(
    "chart", [spark_chart(), hostile_chart(), long_chart(20)], ids=["spark", "hostile", "long"]
)
def test_nothing_on_a_sheet_covers_anything_else_or_leaves_it(chart: Chart) -> None:
    assert_tidy(chart)


@settings(deadline=None)
@given(charts())
def test_nothing_covers_anything_else_on_the_sheets_of_any_chart(chart: Chart) -> None:
    assert_tidy(chart)


@settings(deadline=None)
@given(charts())
def test_every_step_of_any_chart_stands_on_a_sheet_and_every_connector_finds_it(chart: Chart) -> None:
    flow = lay_out(chart, room)
    sheets = flow.sheet_numbers(2)
    kinds = {node.id: node.kind for node in chart.nodes}
    assert set(sheets) == {one for one in numbered(chart) if kinds[one] not in ENDS or one == chart.start}
    for sheet in flow.sheets:
        for placed in sheet.symbols:
            if placed.leads_to and kinds[placed.leads_to] not in ENDS:
                assert placed.leads_to in sheets


def test_a_step_with_more_ways_out_than_fit_is_continued_on_the_next_sheet() -> None:
    chart = spark_chart()
    many = tuple(
        Branch(f"Finding {one}, as it is described in a few words", 0.05, "give-up") for one in range(20)
    )
    chart = replace(chart, nodes=(replace(chart.node("switch"), branches=many), chart.node("give-up")))
    sheets = lay_out(chart, room).sheets
    assert [sheet.steps for sheet in sheets] == [("switch",)] * len(sheets)
    assert len(sheets) > 1
    ends = sum(1 for sheet in sheets for placed in sheet.symbols if placed.leads_to == "give-up")
    assert ends == 10
