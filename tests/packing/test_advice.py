"""The advice on what to carry: chances, worths, the frontier, and a rider's own kit."""

from __future__ import annotations

from itertools import combinations, pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kickover.core.ids import ItemId
from kickover.documents.renderer import svg_to_pdf
from kickover.packing.advice import Budget, Packer
from kickover.packing.pack_report import advise, lines
from kickover.packing.prevention import savings
from kickover.packing.printed import frontier_svg
from worlds.packing_library import library, machine, packer

TOTAL = 3 + 2 + 0.18 + 1.5
LISTED = 0.97


def items(*names: str) -> frozenset[ItemId]:
    return frozenset(ItemId(name) for name in names)


def every_chance(of: Packer, budget: Budget) -> list[float]:
    known = list(of.library.items.values())
    chances = []
    for size in range(len(known) + 1):
        for some in combinations(known, size):
            prices = [one.price for one in some if one.id not in budget.owned]
            fits = sum(one.grams for one in some) <= budget.grams
            fits &= budget.litres is None or sum(one.litres for one in some) <= budget.litres + 1e-9
            fits &= budget.money is None or sum(prices) <= budget.money
            if fits and not any(one.id in budget.without for one in some):
                chances.append(of.chance(frozenset(one.id for one in some) | budget.carried))
    return chances


budgets = st.builds(
    Budget,
    st.integers(0, 700).map(float),
    st.none() | st.sampled_from([0.1, 0.2, 0.35, 0.6]),
    st.none() | st.sampled_from([0.0, 4.0, 12.0, 30.0]),
    st.sampled_from([items(), items("spanner"), items("socket", "plug")]),
    st.sampled_from([items(), items("glove"), items("socket")]),
    st.sampled_from([items(), items("plug")]),
)


@settings(deadline=None, max_examples=80)
@given(budgets)
def test_no_other_pack_within_the_budget_is_better(budget: Budget) -> None:
    best = packer().best(budget)
    assert best.chance == pytest.approx(max(every_chance(packer(), budget)))
    assert best.grams <= budget.grams
    assert budget.without.isdisjoint(best.items)


def test_the_chance_is_the_share_of_covered_strandings_and_never_counts_the_unlisted_cause() -> None:
    assert packer().chance(items()) == pytest.approx(LISTED * 2 / TOTAL)
    assert packer().chance(items("plug", "socket")) == pytest.approx(LISTED * 5 / TOTAL)


def test_both_halves_of_a_pair_are_worth_what_the_pair_is() -> None:
    carried = items("plug", "socket", "glove")
    worth = {one.item: one for one in packer().worth(carried, sorted(carried))}
    assert worth[ItemId("plug")].loss == pytest.approx(LISTED * 3 / TOTAL)
    assert worth[ItemId("plug")].loss == worth[ItemId("socket")].loss
    assert worth[ItemId("plug")].causes == ("plug-fouled",)
    assert worth[ItemId("glove")].loss == 0.0


@settings(deadline=None, max_examples=20)
@given(budgets)
def test_the_frontier_rises_with_the_weight(budget: Budget) -> None:
    frontier = packer().frontier(budget, points=6)
    grams = [pack.grams for pack in frontier]
    assert grams == sorted(grams)
    assert all(one.chance < other.chance for one, other in pairwise(frontier))
    assert frontier[-1].chance == pytest.approx(packer().best(budget).chance)


def test_what_a_kit_lacks_is_named_with_its_gain() -> None:
    missing = packer().missing(items("socket", "glove"), Budget(1000.0))
    assert [(one.items, one.grams) for one in missing] == [(("plug",), 50.0), (("spanner",), 200.0)]
    assert missing[0].gain == pytest.approx(LISTED * 3 / TOTAL)


def test_prevention_counts_breakdowns_and_minutes_for_the_money() -> None:
    """The plug: 60 % of 3 in 6.68, at 9 minutes each when carried; the axle: given up at 180 minutes."""
    found = savings(library(), machine(), packer().coverings, items("plug", "socket"))
    axle, plug = found
    assert (axle.service, plug.service) == ("tight", "renew-plug")
    assert axle.breakdowns == pytest.approx(100 * LISTED * 0.5 * 1.5 / TOTAL)
    assert axle.minutes_saved == pytest.approx(axle.breakdowns * 180)
    assert axle.breakdowns_for_money == float("inf")
    assert plug.breakdowns == pytest.approx(100 * LISTED * 0.6 * 3 / TOTAL)
    assert plug.minutes_saved == pytest.approx(plug.breakdowns * 9)
    assert plug.money == 4


def test_the_words_say_what_is_carried_what_lacks_and_why() -> None:
    advice = advise(packer(), machine(), Budget(160.0), items("socket"))
    said = "\n".join(lines(library(), advice))
    assert "what to carry within 160 g" in said
    assert "Axle loose: lacks glove, spanner" in said
    assert "Rings worn: nothing finds and mends it by the road" in said
    assert "The kit as it is: 29" in said.replace("\u00a0", " ")
    assert "50 g  +43.6 %  plug" in said


def test_the_picture_is_sound_svg_with_a_point_a_pack_and_becomes_a_pdf() -> None:
    frontier = packer().frontier(Budget(600.0), points=6)
    svg = frontier_svg(frontier, 'A <moped> & "co"', 600.0)
    root = ElementTree.fromstring(svg)
    assert len(root.findall("{http://www.w3.org/2000/svg}circle")) == len(frontier)
    assert 'A <moped> & "co"' in "".join(root.itertext())
    assert svg_to_pdf(svg).startswith(b"%PDF")


def test_a_picture_of_nothing_is_a_picture() -> None:
    assert ElementTree.fromstring(frontier_svg((), "Nothing", 0.0)).tag.endswith("svg")
