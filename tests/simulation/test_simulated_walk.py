"""Simulated engines: the same seed gives the same engine, and the model is told well by its own engines."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from kickover.core.ids import CheckId, EventId, MachineId, RepairId
from kickover.inference.belief import Belief, prior_belief
from kickover.inference.compiled_model import EngineState, Model, compile_model
from kickover.model.library import Library
from kickover.planning.job_state import Job
from kickover.planning.lookahead import Effort
from kickover.simulation.baselines import (
    cheapest_first,
    checking,
    fixed_order,
    information_per_minute,
    planner,
)
from kickover.simulation.misspecified_library import misspecified_library, with_pairs
from kickover.simulation.scores import calibration, interval, ratio, score
from kickover.simulation.simulated_walk import Act, Engine, Walked, simulate
from kickover.simulation.trials import PLANNERS, Trial, TrialError, World, expert_order, rough, run, trials

GIVE_UP = 180.0
ENGINES = 40


@pytest.fixture(scope="module")
def model(shipped: Library) -> Model:
    return compile_model(
        shipped, shipped.machines[MachineId("clip-on-two-stroke")], [EventId("no-spark-seen")]
    )


@pytest.fixture(scope="module")
def world(shipped: Library) -> World:
    return World(shipped.machines[MachineId("clip-on-two-stroke")], (EventId("no-spark-seen"),), seed=4)


def drawn(model: Model, count: int) -> list[Engine]:
    return [Engine(model, 4, number, 0.0) for number in range(count)]


def walked(model: Model, engines: list[Engine]) -> list[Walked]:
    start = Job(model.hypotheses.houses)
    return simulate(model, engines, planner(GIVE_UP, Effort(work=0)), start, GIVE_UP)


@pytest.fixture(scope="module")
def walks(model: Model) -> list[Walked]:
    """Walks of the first engines."""
    return walked(model, drawn(model, ENGINES))


def test_every_engine_is_walked_to_its_end(walks: list[Walked]) -> None:
    assert [one.engine for one in walks] == list(range(ENGINES))
    for walk in walks:
        assert walk.wrong_repairs == walk.repairs - walk.confirmed
        assert walk.confirmed or walk.minutes >= GIVE_UP


def test_an_engine_without_a_listed_cause_is_never_mended(shipped: Library) -> None:
    """Without undeveloped events, which the job of finding them may mend."""
    machine = shipped.machines[MachineId("clip-on-two-stroke")]
    model = compile_model(shipped, machine, [EventId("no-spark-seen")], listed=True)
    engines = [engine for engine in drawn(model, 120) if model.hypotheses.unlisted[engine.row]]
    unlisted = walked(model, engines)
    assert unlisted
    assert not any(one.listed for one in unlisted)
    assert not any(one.confirmed for one in unlisted)


def test_the_same_seed_gives_the_same_walks(model: Model, walks: list[Walked]) -> None:
    assert walked(model, drawn(model, 10)) == walks[:10]


def test_walking_together_is_the_same_as_walking_alone(model: Model, walks: list[Walked]) -> None:
    assert [walked(model, [engine])[0] for engine in drawn(model, 6)] == walks[:6]


def test_findings_come_as_often_as_the_model_says(model: Model) -> None:
    state = EngineState(model.hypotheses.houses)
    check = CheckId("kill-switch-in-run")
    seen = np.zeros(len(model.checks[check].findings))
    for number in range(3000):
        seen[Engine(model, 9, number, 0.0).shows(check, state)] += 1
    chances = [
        float(model.hypotheses.prior @ model.likelihood(check, row, state))
        for row in np.eye(len(seen)).tolist()
    ]
    assert seen / seen.sum() == pytest.approx(chances, abs=4.0 * 0.5 / np.sqrt(3000))


def test_wrong_answers_come_as_often_as_asked(model: Model) -> None:
    state = EngineState(model.hypotheses.houses)
    check = CheckId("kill-switch-in-run")
    changed = [
        Engine(model, 2, number, 0.25).shows(check, state)
        != Engine(model, 2, number, 0.0).shows(check, state)
        for number in range(2000)
    ]
    assert np.mean(changed) == pytest.approx(0.25, abs=4.0 * 0.5 / np.sqrt(2000))


def test_an_engine_is_mended_by_what_cures_its_causes_and_by_nothing_else(model: Model) -> None:
    """On a model whose repairs never fail."""
    model = replace(model, works={id_: np.ceil(chances) for id_, chances in model.works.items()})
    for number in range(60):
        engine = Engine(model, 1, number, 0.0)
        assert not engine.mended(frozenset())
        curing = frozenset(
            id_ for id_, repair in model.repairs.items() if not set(engine.causes).isdisjoint(repair.cures)
        )
        assert engine.mended(curing) == bool(engine.causes)
        assert not engine.mended(frozenset(model.repairs) - curing)


@pytest.mark.parametrize("count", [ENGINES, pytest.param(250, marks=pytest.mark.slow)])
def test_the_ranking_is_as_sure_as_it_is_right_on_its_own_engines(
    model: Model, walks: list[Walked], count: int
) -> None:
    """Drawn from the model itself, calibration holds within sampling error."""
    if count > ENGINES:
        walks = walked(model, drawn(model, count))
    for answers in (0, 2, 5):
        looks = [walk.snapshots[answers] for walk in walks if len(walk.snapshots) > answers]
        assert np.mean([look.sure for look in looks]) == pytest.approx(
            np.mean([look.right for look in looks]), abs=4.0 * 0.5 / np.sqrt(len(looks))
        )


def test_a_choice_that_never_acts_costs_giving_up(model: Model) -> None:
    def give_up(_belief: Belief, _job: Job) -> Act:
        return Act()

    engines = [Engine(model, 4, number, 0.0) for number in range(5)]
    walks = simulate(model, engines, give_up, Job(model.hypotheses.houses), 75.0)
    assert [walk.minutes for walk in walks] == [75.0] * 5


def test_a_choice_that_never_ends_is_stopped(model: Model) -> None:
    repair = next(iter(model.repairs))

    def stubborn(_belief: Belief, _job: Job) -> Act:
        return Act(repairs=(RepairId(repair),))

    engines = [Engine(model, 4, number, 0.0) for number in range(2)]
    walks = simulate(model, engines, stubborn, Job(model.hypotheses.houses), GIVE_UP)
    assert all(walk.minutes > 0 for walk in walks)


# --- the baselines ---


def test_a_fixed_order_is_followed(model: Model) -> None:
    order = [CheckId("kill-switch-in-run"), CheckId("spark-at-spare-plug")]
    choose = checking(fixed_order(order), GIVE_UP, sure=1.1)
    job = Job(model.hypotheses.houses)
    belief = prior_belief(model)
    assert choose(belief, job) == Act(check=order[0])
    assert choose(belief, replace(job, made=frozenset(order[:1]))) == Act(check=order[1])
    assert choose(belief, replace(job, made=frozenset(order))).check is None


def test_the_cheapest_check_is_the_cheapest(model: Model) -> None:
    job = Job(model.hypotheses.houses)
    act = checking(cheapest_first, GIVE_UP, sure=1.1)(prior_belief(model), job)
    assert act.check is not None
    assert model.checks[act.check].needs.minutes <= 0.5


def test_information_per_minute_stops_when_nothing_tells_any_more(model: Model) -> None:
    job = Job(model.hypotheses.houses, made=frozenset(model.checks))
    act = checking(information_per_minute, GIVE_UP, sure=1.1)(prior_belief(model), job)
    assert act.check is None


# --- trials, misjudged libraries, scores ---


def test_blocks_do_not_change_the_walks(shipped: Library, world: World) -> None:
    whole = [one for trial in trials(["cheapest-first"], world, 6, 6) for one in run(shipped, trial)]
    parts = [one for trial in trials(["cheapest-first"], world, 6, 4) for one in run(shipped, trial)]
    assert whole == parts


def test_an_unknown_planner_and_a_missing_order_are_named(shipped: Library, world: World) -> None:
    with pytest.raises(TrialError, match="there is no planner"):
        run(shipped, replace(next(trials(["kickover"], world, 2, 2)), planner="crystal-ball"))
    with pytest.raises(TrialError, match="expert-orders"):
        expert_order(shipped, EventId("no-such-complaint"))


@pytest.mark.parametrize(
    "complaint", ["no-spark-seen", pytest.param("will-not-start", marks=pytest.mark.slow)]
)
def test_every_way_of_choosing_can_be_run(shipped: Library, complaint: str) -> None:
    """An expert's order is written down for few complaints."""
    for name in PLANNERS:
        about = "will-not-start" if name == "expert-order" else complaint
        here = World(shipped.machines[MachineId("clip-on-two-stroke")], (EventId(about),), seed=2)
        walks = [one for trial in trials([name], here, 2, 2) for one in run(shipped, trial)]
        assert len(walks) == 2


def test_misjudged_numbers_stay_within_the_factor(shipped: Library) -> None:
    off = misspecified_library(shipped, seed=1, factor=3.0)
    for id_, cause in shipped.causes.items():
        assert cause.rate / 3.0 <= off.causes[id_].rate <= cause.rate * 3.0
    for name, check in shipped.checks.items():
        for line, other in zip(check.lines, off.checks[name].lines, strict=True):
            assert sum(other.chances.values()) == pytest.approx(sum(line.chances.values()))
            assert all(chance >= 0.0 for chance in other.chances.values())
            leading = max(line.chances, key=lambda finding: line.chances[finding])
            before, after = 1.0 - line.chances[leading], 1.0 - other.chances[leading]
            assert before / 3.0 - 1e-9 <= after <= 3.0 * before + 1e-9
    assert misspecified_library(shipped, seed=1, factor=1.0).causes == shipped.causes


def test_a_misjudged_world_is_another_one_and_the_same_for_the_same_seed(
    shipped: Library, world: World
) -> None:
    def all_walked(factor: float) -> list[Walked]:
        here = replace(world, factor=factor)
        return [one for trial in trials(["cheapest-first"], here, 4, 2) for one in run(shipped, trial)]

    assert all_walked(3.0) == all_walked(3.0)
    assert all_walked(3.0) != all_walked(1.0)


def test_a_way_of_choosing_against_itself_has_the_ratio_one(walks: list[Walked]) -> None:
    compared = ratio(walks, walks)
    assert (compared.mean, compared.low, compared.high) == (1.0, 1.0, 1.0)


def test_an_interval_holds_its_mean() -> None:
    found = interval(np.array([1.0, 2.0, 3.0, 4.0]))
    assert found.low < found.mean == 2.5 < found.high


def test_scores_add_up(walks: list[Walked]) -> None:
    found = score(walks)
    assert found.walks == len(walks)
    assert found.minutes.mean == pytest.approx(np.mean([walk.minutes for walk in walks]))
    assert found.steps == pytest.approx(found.checks + found.repairs)
    assert found.confirmed == pytest.approx(np.mean([walk.confirmed for walk in walks]))
    assert found.after[0].answers == 0
    assert found.after[0].walks == len(walks)
    bins = calibration([snapshot for walk in walks for snapshot in walk.snapshots])
    assert sum(bin_.looks for bin_ in bins) == sum(len(walk.snapshots) for walk in walks)
    assert all(before.sure <= after.sure for before, after in pairwise(bins))


def test_two_causes_come_as_often_as_asked_and_half_of_them_bring_one_another(model: Model) -> None:
    chances = with_pairs(model, 0.06)
    size = (model.hypotheses.members >= 0).sum(axis=1)
    assert chances.sum() == pytest.approx(1.0)
    assert chances[size == 2].sum() == pytest.approx(0.06)
    brought = [
        row
        for row in np.flatnonzero(size == 2).tolist()
        if any(
            other in model.library.brings[one].events
            for one in model.hypotheses.causes_of(row)
            if one in model.library.brings
            for other in model.hypotheses.causes_of(row)
        )
    ]
    assert chances[brought].sum() == pytest.approx(0.03)


def test_a_rider_is_not_sure_as_often_as_asked_and_the_same_way_when_asked_again(model: Model) -> None:
    state = EngineState(model.hypotheses.houses)
    check = CheckId("kill-switch-in-run")
    engines = [Engine(model, 2, number, 0.0, unsure=0.125) for number in range(2000)]
    told = [engine.tells(check, state) for engine in engines]
    assert np.mean([one is None for one in told]) == pytest.approx(0.125, abs=4.0 * 0.33 / np.sqrt(2000))
    assert told == [engine.tells(check, state) for engine in engines]


def test_a_rough_world_is_walked_to_its_end_with_the_same_engines_each_time(
    shipped: Library, world: World
) -> None:
    trial = Trial("information-per-minute", rough(world), 0, 12)
    walks = run(shipped, trial)
    assert walks == run(shipped, trial)
    assert len(walks) == 12
    scored = score(walks)
    assert scored.confirmed <= scored.mended_or_named <= 1.0
    assert scored.wrong_credit <= scored.confirmed


def test_a_cure_is_laid_to_a_cause_that_the_repair_cures(model: Model, walks: list[Walked]) -> None:
    """An engine mended by a repair that treats none but its own cause is never credited wrongly."""
    alone = {
        cause
        for cause in model.hypotheses.structure.causes
        if all(len(repair.cures) == 1 for repair in model.repairs.values() if cause in repair.cures)
    }
    engines = drawn(model, ENGINES)
    known = {engine.number for engine in engines if set(engine.causes) <= alone and len(engine.causes) == 1}
    assert known
    assert not any(walk.credited_wrong for walk in walks if walk.engine in known)
