"""Finishing lists of compiled charts: which ways share one, what their rows say, and what they come to."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from kickover import api
from kickover.documents.charts.chart import ENDS, Chart, ChartError, FinishingList, NodeKind
from kickover.documents.charts.compile_lists import grouped
from kickover.documents.charts.compiling import BEYOND, Compiled, Printing, compile_chart
from kickover.documents.charts.page_lists import CURED, SHOWS, list_nodes
from kickover.session.session import Session

LOADED = api.load()


@pytest.fixture(scope="module")
def begun() -> Session:
    return LOADED.walk("no-spark-seen", "points-moped", (), "pouch").session


@pytest.fixture(scope="module")
def compiled(begun: Session) -> Compiled:
    return compile_chart(begun, Printing(0.04, command="kickover walk no-spark-seen"))


def test_every_way_that_leaves_the_chart_leads_to_one_list(compiled: Compiled) -> None:
    ways = [way for list_ in compiled.lists for way in list_.ways]
    assert sorted(ways) == sorted(compiled.places.beyond)
    assert len(ways) == len(set(ways))
    assert sum(list_.share for list_ in compiled.lists) == pytest.approx(compiled.policy.cut)
    assert 1 < len(compiled.chart.lists) <= 8


def test_lists_are_named_in_the_order_in_which_the_steps_lead_to_them(compiled: Compiled) -> None:
    assert "".join(list_.letter for list_ in compiled.lists) == "ABCDEFGH"[: len(compiled.lists)]
    assert all(first.ways[0] < second.ways[0] for first, second in pairwise(compiled.lists))


def test_the_share_of_a_list_is_that_of_the_branches_that_lead_to_it(compiled: Compiled) -> None:
    chart = compiled.chart
    shares = {compiled.steps[number]: place.share for number, place in compiled.places.at.items()}
    for listed in chart.lists:
        come = sum(
            shares[node.id] * branch.probability
            for node in chart.nodes
            for branch in node.branches
            if branch.target == listed.node
        )
        assert come == pytest.approx(listed.share)


def test_the_rows_say_what_the_library_says(compiled: Compiled, begun: Session) -> None:
    library = begun.library
    for gathered, listed in zip(compiled.lists, compiled.chart.lists, strict=True):
        for row, told in zip(gathered.rows, listed.rows, strict=True):
            assert told.title.startswith(library.title_of(row.causes[0]))
            assert told.repair == library.repairs[row.repair].title
            assert told.repair_how == library.repairs[row.repair].how
            assert told.minutes == library.repairs[row.repair].needs.minutes
            hazards = set(library.repairs[row.repair].needs.hazards)
            if row.check is None:
                assert (told.check, told.shows) == ("", ())
                assert told.shown == pytest.approx(1.0)
            else:
                check = library.checks[row.check]
                assert told.check.lower().endswith(check.ask.lower())
                assert len(told.shows) == len(row.shows)
                again = told.check.startswith("As seen for row ")
                assert told.check_minutes == (0.0 if again else check.needs.minutes)
                hazards |= set(check.needs.hazards)
            assert hazards <= set(told.cautions)
            items = {library.items[tool].title for tool in library.repairs[row.repair].needs.tools}
            assert items <= set(told.tools)
        assert listed.proof == begun.complaint.proof.ask
        assert "kickover walk no-spark-seen" in listed.closing[0]


def test_a_measured_row_has_its_limits_in_the_machines_numbers(compiled: Compiled, begun: Session) -> None:
    measured = 0
    for gathered, listed in zip(compiled.lists, compiled.chart.lists, strict=True):
        for row, told in zip(gathered.rows, listed.rows, strict=True):
            if row.check is not None and begun.library.checks[row.check].reading is not None:
                assert all(any(word.isdigit() for word in words) for words in told.shows)
                measured += 1
    assert measured > 0


def test_a_roadside_repair_names_the_lasting_one_and_an_unsafe_cause_bans_riding() -> None:
    session = LOADED.walk("leaks-fuel", "points-moped", (), "pouch").session
    made = compile_chart(session, Printing(0.3))
    roadside = banned = 0
    for gathered, listed in zip(made.lists, made.chart.lists, strict=True):
        for row, told in zip(gathered.rows, listed.rows, strict=True):
            repair = session.library.repairs[row.repair]
            unsafe = any(not session.library.causes[cause].ride for cause in row.causes)
            if repair.roadside:
                assert "Roadside repair: it gets you home." in told.mending
                roadside += 1
            if repair.roadside and unsafe:
                assert "must not be ridden" in told.ban
                banned += 1
    assert roadside
    assert banned


def test_by_steps_and_by_lists_more_is_confirmed_than_by_steps_alone(compiled: Compiled) -> None:
    assert compiled.confirmed == pytest.approx(compiled.policy.confirmed + compiled.by_lists)
    assert compiled.confirmed > 0.65
    assert compiled.by_lists > 0.3
    assert compiled.minutes > compiled.policy.minutes
    told = " ".join(compiled.chart.notes)
    assert "by its lists" in told


def test_the_exact_numbers_agree_with_walks_by_the_printed_rows(compiled: Compiled) -> None:
    """The rows give chances that hold for all who come to them, so walks by them alone come out the same."""
    rng = random.Random(3)
    listed = max(compiled.chart.lists, key=lambda list_: list_.share)
    taken = [worked(listed, rng) for _ in range(4000)]
    error = (listed.mended * (1 - listed.mended) / len(taken)) ** 0.5
    assert abs(sum(taken) / len(taken) - listed.mended) < 3 * error


def worked(listed: FinishingList, rng: random.Random) -> bool:
    nodes = {stage.node.id: stage.node for stage in list_nodes(listed)}
    node = nodes[listed.node]
    while node.branches:
        branch = rng.choices(node.branches, [one.probability for one in node.branches])[0]
        if branch.target is None:
            return True
        node = nodes[branch.target]
    return False


def test_the_stages_of_a_list_lead_from_each_row_to_its_repair_its_proof_and_the_next(
    compiled: Compiled,
) -> None:
    for listed in compiled.chart.lists:
        stages = {stage.node.id: stage for stage in list_nodes(listed)}
        number = 1
        node = stages[listed.node].node
        node = stages[node.branches[0].target or ""].node
        while node.kind is not NodeKind.GIVE_UP:
            assert stages[node.id].place == f"List {listed.letter}, row {number} of {len(listed.rows)}"
            labels = {branch.label: branch.target for branch in node.branches}
            if SHOWS in labels:
                node = stages[labels[SHOWS] or ""].node
            assert node.title == listed.rows[number - 1].repair
            proof = stages[node.branches[0].target or ""].node
            assert next(branch for branch in proof.branches if branch.label == CURED).target is None
            node = stages[proof.branches[1].target or ""].node
            number += 1
        assert number == len(listed.rows) + 1


def test_fewer_lists_can_be_asked_for_and_mend_less(begun: Session, compiled: Compiled) -> None:
    two = compile_chart(begun, Printing(0.04, most_lists=2))
    assert len(two.chart.lists) == 2
    assert two.policy.confirmed == compiled.policy.confirmed
    assert two.confirmed < compiled.confirmed + 0.02


def test_with_empty_pockets_a_list_names_no_tool() -> None:
    made = compile_chart(
        LOADED.walk("no-spark-seen", "points-moped", (), "empty-pockets").session, Printing(0.1)
    )
    assert all(row.tools == () for listed in made.chart.lists for row in listed.rows)
    assert {node.kind for node in made.chart.nodes if not node.branches} <= ENDS
    for node in made.chart.nodes:
        assert node.id != BEYOND or node.kind is NodeKind.GIVE_UP


def test_ways_with_the_same_causes_are_put_together() -> None:
    masses = np.array([[0.5, 0.4, 0, 0], [0, 0, 0.3, 0.2], [0.1, 0.2, 0, 0], [0, 0, 0.1, 0.1]])
    assert sorted(grouped(masses, 2, 2)) == [(0, 2), (1, 3)]
    assert sorted(grouped(masses, 9, 2)) == [(0,), (1,), (2,), (3,)]


def test_a_list_that_nothing_leads_to_makes_no_chart(compiled: Compiled) -> None:
    chart: Chart = compiled.chart
    with pytest.raises(ChartError, match="are not those that it points to"):
        replace(chart, lists=chart.lists[1:])


def test_the_same_walk_gives_the_same_lists(begun: Session, compiled: Compiled) -> None:
    again = compile_chart(begun, Printing(0.04, command="kickover walk no-spark-seen"))
    assert again.chart.lists == compiled.chart.lists
