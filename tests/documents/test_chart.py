from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from documents.small_chart import hostile_chart, long_chart, spark_chart
from documents.test_tree import edges, nodes
from kickover.documents.charts.chart import Chart
from kickover.documents.charts.chart_picture import draw_chart, symbol_size
from kickover.documents.dot_text import Words, block
from kickover.documents.renderer import bundled_dot, render
from kickover.documents.shapes import Symbol


def test_each_kind_of_step_has_the_symbol_of_the_standard() -> None:
    drawn = nodes(draw_chart(spark_chart()))
    assert drawn["switch"]["shape"] == "diamond"
    assert drawn["proof-1"]["shape"] == "diamond"
    assert drawn["swap-cap"]["shape"] == "box"
    assert (drawn["plug-out"]["shape"], drawn["plug-out"]["sides"]) == ("polygon", "4")
    assert (drawn["give-up"]["shape"], drawn["give-up"]["style"]) == ("box", "rounded")


def test_a_step_with_hazards_names_its_cautions() -> None:
    assert "Caution: high" in nodes(draw_chart(spark_chart()))["spark"]["label"].replace("\\n", " ")


def test_branches_carry_label_limits_and_chance() -> None:
    dot = draw_chart(spark_chart())
    assert nodes(dot)["cap branch 0"]["label"] == "As it should be\\n3.5 to 6.5 kΩ\\n(55 in 100)"
    assert {("cap", "cap branch 0", ""), ("cap branch 0", "wire", "")} <= edges(dot)


def test_a_single_way_on_is_a_bare_arrow() -> None:
    assert ("plug-out", "spark", "") in edges(draw_chart(spark_chart()))


@pytest.mark.parametrize("chart", [hostile_chart(), long_chart(12)], ids=["hostile", "long"])
def test_any_chart_is_drawn_the_same_way_each_time(chart: Chart) -> None:
    dot = draw_chart(chart)
    assert ET.fromstring(render(dot, "svg", bundled_dot())).tag.endswith("svg")
    assert dot == draw_chart(chart)


@given(st.text(max_size=120))
def test_any_label_fits_inside_its_rhombus(title: str) -> None:
    label = block((Words(title, 9),), 120)
    wide, high = symbol_size(Symbol.DECISION, label)
    assert label.width / wide + label.height / high <= 1 + 1e-9
