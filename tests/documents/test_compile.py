"""Charts agree with the walk: every path of them is walked by a session that knows nothing of the chart."""

from __future__ import annotations

import random

import pytest

from documents.chart_walks import Stop, is_beyond, leading_by_node, walks
from kickover import api
from kickover.documents.charts.chart import Chart, NodeKind
from kickover.documents.charts.compile_moves import StepKey
from kickover.documents.charts.compile_words import likely_words
from kickover.documents.charts.compiling import Compiled, Printing, compile_chart
from kickover.session.riding_bans import must_not_ride
from kickover.session.session import Phase, Session, needs_of
from kickover.session.wording import lower_first

PICKED = [("no-spark-seen", "clip-on-two-stroke", "pouch"), ("races", "points-moped", "bench")]


@pytest.fixture(scope="module")
def library() -> api.Loaded:
    return api.load()


@pytest.fixture(scope="module", params=PICKED, ids=lambda one: one[0])
def begun(request: pytest.FixtureRequest, library: api.Loaded) -> Session:
    complaint, machine, kit = request.param
    return library.walk(complaint, machine, (), kit).session


@pytest.fixture(scope="module")
def compiled(begun: Session) -> Compiled:
    return compile_chart(begun, Printing(least_share=0.02))


@pytest.fixture(scope="module")
def stops(compiled: Compiled, begun: Session) -> list[Stop]:
    return list(walks(compiled.chart, begun))


def test_every_step_of_every_path_is_what_the_walk_asks_there(stops: list[Stop]) -> None:
    assert len(stops) > 30
    for stop in stops:
        if is_beyond(stop.node):
            continue
        task = stop.session.task()
        undo = task.preparation is not None and task.preparation.undo
        wanted = " ".join(one for one in (task.phase, "back" if undo else "", task.id) if one)
        assert stop.node.id.rstrip("0123456789").rstrip() == wanted or stop.node.id == wanted
        assert stop.node.minutes == pytest.approx(
            0.0 if task.phase is Phase.GIVE_UP else task.minutes, abs=1e-3
        )


def test_every_step_names_the_causes_that_the_walk_has_there(
    stops: list[Stop], begun: Session, compiled: Compiled
) -> None:
    leading = leading_by_node(stops)
    named = 0
    for node in compiled.chart.nodes:
        if "Likely here: " not in node.note:
            continue
        title = lower_first(begun.library.title_of(leading[node.id]))
        assert node.note.split("Likely here: ")[1].startswith(title)
        named += 1
    assert named > 5


def test_branches_are_as_likely_as_the_walks_that_take_them(compiled: Compiled, begun: Session) -> None:
    nodes = {node.id: node for node in compiled.chart.nodes}
    shares: dict[str, float] = {}
    for stop in walks(compiled.chart, begun):
        shares[stop.node.id] = shares.get(stop.node.id, 0.0) + stop.share
    for id_, node in nodes.items():
        if node.branches:
            assert sum(branch.probability for branch in node.branches) == pytest.approx(1.0)
            place = compiled.places.at[compiled.steps.index(id_)]
            assert shares[id_] == pytest.approx(place.share)


def test_a_step_with_hazards_has_their_cautions(stops: list[Stop], compiled: Compiled) -> None:
    words = {caution.id: caution.words for caution in compiled.chart.cautions}
    seen = 0
    for stop in stops:
        if is_beyond(stop.node) or stop.node.kind is NodeKind.GIVE_UP:
            continue
        hazards = needs_of(stop.session, stop.session.task()).hazards
        assert stop.node.cautions == hazards
        for hazard in hazards:
            assert words[hazard] == stop.session.library.hazards[hazard].caution
            seen += 1
    assert seen > 5


def test_a_machine_that_must_not_be_ridden_is_never_given_up_without_saying_so(stops: list[Stop]) -> None:
    for stop in stops:
        if stop.node.kind is NodeKind.GIVE_UP and must_not_ride(stop.session):
            assert any("must not be ridden" in line for line in (stop.node.title, *stop.node.lines))


def test_the_exact_minutes_agree_with_simulated_walks(compiled: Compiled, begun: Session) -> None:
    rng = random.Random(11)
    taken = [simulated(compiled.chart, rng) for _ in range(6000)]
    mean = sum(minutes for minutes, _ in taken) / len(taken)
    error = (sum((minutes - mean) ** 2 for minutes, _ in taken) / len(taken)) ** 0.5 / len(taken) ** 0.5
    assert abs(mean - compiled.policy.minutes) < 3 * error
    confirmed = compiled.policy.confirmed
    solved = sum(cured for _, cured in taken) / len(taken)
    assert abs(solved - confirmed) < 3 * (confirmed * (1 - confirmed) / len(taken)) ** 0.5


def simulated(chart: Chart, rng: random.Random) -> tuple[float, bool]:
    """One walk by the printed chart alone: its minutes, and whether it was solved."""
    nodes = {node.id: node for node in chart.nodes}
    node, minutes = nodes[chart.start], 0.0
    while True:
        minutes += node.minutes
        if not node.branches:
            return minutes, False
        branch = rng.choices(node.branches, [one.probability for one in node.branches])[0]
        if branch.target is None:
            return minutes, True
        node = nodes[branch.target]


def test_limits_stand_in_the_machines_numbers(compiled: Compiled, begun: Session) -> None:
    measured = [node for node in compiled.chart.nodes if node.reading is not None]
    for node in measured:
        check = begun.model.checks[node.id.split()[1]]  # type: ignore[index]
        edges = begun.model.edges[check.id]
        ordered = sorted(node.branches, key=lambda branch: -1e9 if branch.low is None else branch.low)
        assert [one.low for one in ordered[1:]] == list(edges[-len(ordered) + 1 :])
        assert any(row.title.startswith(check.title) and row.source for row in compiled.chart.limits)


def test_a_check_leads_to_something_that_the_chart_still_knows(compiled: Compiled) -> None:
    nodes = {node.id: node for node in compiled.chart.nodes}
    for node in compiled.chart.nodes:
        if node.kind is NodeKind.CHECK and node.id != compiled.chart.start:
            assert not all(branch.target and is_beyond(nodes[branch.target]) for branch in node.branches)


def test_the_notes_say_how_far_the_chart_goes(compiled: Compiled) -> None:
    told = " ".join(compiled.chart.notes)
    assert "end in a confirmed repair" in told
    assert "invented for the demonstration" in told


def test_fewer_tools_and_less_depth_make_a_smaller_chart(library: api.Loaded) -> None:
    session = library.walk("races", "points-moped", (), "bench").session
    whole = compile_chart(session, Printing(0.05))
    shallow = compile_chart(session, Printing(0.05, deepest=3))
    assert len(shallow.chart.nodes) < len(whole.chart.nodes)
    assert shallow.policy.cut > whole.policy.cut
    bare = compile_chart(library.walk("races", "points-moped", (), "empty-pockets").session, Printing(0.05))
    assert all(node.tools == () for node in bare.chart.nodes)


def test_the_same_walk_gives_the_same_chart(library: api.Loaded) -> None:
    first, again = (
        compile_chart(library.walk("races", "points-moped", (), "pouch").session, Printing(0.1)).chart
        for _ in range(2)
    )
    assert first == again


def test_the_causes_of_a_step_are_told_with_their_chances(compiled: Compiled, begun: Session) -> None:
    start = compiled.places.at[0]
    leader = begun.belief.ranking()[0]
    told = likely_words(begun.library, start)
    if leader.probability >= 0.1:
        assert told.startswith(f"Likely here: {lower_first(begun.library.title_of(leader.cause))} (")
    assert all(isinstance(node.step, StepKey) or node.step is None for node in compiled.policy.nodes)
