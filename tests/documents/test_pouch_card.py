from __future__ import annotations

from dataclasses import replace

import pytest

from documents.pdf_text import glyphs_of, pages_of
from documents.small_chart import hostile_chart, long_chart, spark_chart
from documents.test_sheets import covered_letters
from kickover.documents.charts.chart import Chart
from kickover.documents.charts.pouch_card import CardError, likeliest, pouch_card
from kickover.documents.paper import PaperError

DATE = "25 November 2026"
CHARTS = {"spark": spark_chart(), "long": long_chart(14)}
NAMES = pytest.mark.parametrize("chart", CHARTS.values(), ids=CHARTS)
SIZES = pytest.mark.parametrize("paper", ["a4", "letter"])


@NAMES
@SIZES
def test_a_card_is_one_sheet(chart: Chart, paper: str) -> None:
    assert len(pages_of(pouch_card(chart, DATE, paper))) == 1


@NAMES
@SIZES
def test_no_word_of_a_card_lies_on_a_fold_or_another_word(chart: Chart, paper: str) -> None:
    card = pouch_card(chart, DATE, paper)
    page = pages_of(card)[0]
    for one in glyphs_of(card):
        assert one.size >= 8 - 1e-6
        for fold in range(5):
            assert not one.left - 3 < page.wide * fold / 4 < one.right + 3
        for fold in range(3):
            assert not one.top - 3 < page.high * fold / 2 < one.foot + 3
    assert covered_letters(card) == []


def test_a_small_chart_stands_on_its_card_whole() -> None:
    says = "".join(one.says for one in glyphs_of(pouch_card(spark_chart(), DATE)))
    for node in spark_chart().nodes:
        assert node.title.replace(" ", "") in says
    for caution in spark_chart().cautions:
        assert caution.words.replace(" ", "") in says


def test_what_has_no_room_is_left_to_the_full_set() -> None:
    says = "".join(one.says for one in glyphs_of(pouch_card(long_chart(14), DATE)))
    assert "→fullset" in says
    assert says.count("Putpart") < 14


@NAMES
def test_the_likeliest_steps_come_first_and_none_before_a_way_to_it(chart: Chart) -> None:
    order = likeliest(chart)
    assert order[0] == chart.start
    for place, step in enumerate(order[1:], 1):
        before = {branch.target for one in order[:place] for branch in chart.node(one).branches}
        assert step in before


def test_a_chart_whose_cautions_fill_the_card_is_refused() -> None:
    wordy = tuple(replace(caution, words=caution.words * 60) for caution in spark_chart().cautions)
    with pytest.raises(CardError, match="print the sheets"):
        pouch_card(replace(spark_chart(), start="spark", cautions=wordy), DATE)


def test_hostile_words_stay_inside_their_panels() -> None:
    assert len(pages_of(pouch_card(hostile_chart(), DATE))) == 1
    assert covered_letters(pouch_card(hostile_chart(), DATE)) == []


def test_an_unknown_paper_is_refused() -> None:
    with pytest.raises(PaperError, match="choose a4 or letter"):
        pouch_card(spark_chart(), DATE, "a5")
