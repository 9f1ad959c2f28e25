"""Finishing lists: the exact evaluation against enumeration by hand and against simulated engines."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from math import prod

import numpy as np
import pytest

from kickover import api
from kickover.core.ids import CheckId, ItemId, RepairId
from kickover.inference.belief import Belief, prior_belief
from kickover.inference.compiled_model import EngineState, Model
from kickover.inference.hypotheses import ENDED
from kickover.model.library import CheckKind, Repair
from kickover.planning.build_problem import step_costs_of
from kickover.planning.finishing import Entrant, ListRow, Outcome, Workshop, work_down, workshop_of
from kickover.planning.finishing_rows import choose_rows, preferred_repairs
from kickover.planning.job_state import Job, proof_needs, step_cost
from kickover.planning.residual_faults import residual_faults
from kickover.session.session import Session
from kickover.simulation.simulated_walk import Engine

LOADED = api.load()
Case = tuple[Session, tuple[ListRow, ...], Outcome]


def workshop(session: Session, kit_job: Job, most: int | None = None) -> Workshop:
    whole = residual_faults(session.model, session.belief.posterior, 0.0, most)
    return workshop_of(whole, step_costs_of(session.model, kit_job))


@pytest.fixture(
    scope="module", params=[("races", "pouch"), ("leaks-fuel", "bench"), ("hard-to-turn", "pouch")]
)
def case(request: pytest.FixtureRequest) -> Case:
    complaint, kit = request.param
    session = LOADED.walk(complaint, "points-moped", (), kit).session
    entrant = Entrant(1.0, session.belief, session.job)
    rows = choose_rows(workshop(session, session.job), [entrant])
    return session, rows, work_down(rows, workshop(session, session.job), [entrant])


def left_by(repair: Repair, model: Model, row: int) -> Iterator[tuple[float, int]]:
    """Each engine that a repair may leave of that of `row`, with its chance."""
    treated = [cause for cause in model.hypotheses.causes_of(row) if cause in repair.cures]
    for works in product((False, True), repeat=len(treated)):
        chance = prod(
            repair.cures[cause] if one else 1.0 - repair.cures[cause]
            for cause, one in zip(treated, works, strict=True)
        )
        mended = frozenset(cause for cause, one in zip(treated, works, strict=True) if one)
        yield chance, model.hypotheses.row_left(row, mended)


def paths(
    session: Session, rows: tuple[ListRow, ...], engine_row: int
) -> Iterator[tuple[float, float, bool]]:
    """Every way one engine can go down the list: its chance, its minutes, whether it is cured at its end.

    The job is the plain one, preparation after preparation; the chances are those of a whole belief.
    """
    model = session.model
    library = model.library
    stack = [(0, 1.0, 0.0, session.job, engine_row, dict[CheckId, int]())]
    while stack:
        place, chance, minutes, job, now_row, seen = stack.pop()
        if place == len(rows):
            yield chance, minutes, False
            continue
        row = rows[place]
        after: list[tuple[float, float, Job, bool, dict[CheckId, int]]] = []
        if row.check is None:
            after.append((chance, minutes, job, True, seen))
        elif row.check in seen:
            after.append((chance, minutes, job, seen[row.check] in row.shows, seen))
        else:
            check = model.checks[row.check]
            taken = step_cost(library, job, check.needs)
            assert taken is not None
            state = EngineState(taken.after.houses)
            for number, finding in enumerate(check.findings):
                weights = [1.0 if number == other else 0.0 for other in range(len(check.findings))]
                part = chance * float(model.likelihood(row.check, weights, state)[now_row])
                then = Job(
                    taken.after.houses,
                    job.kit,
                    taken.after.in_place | frozenset(finding.leaves),
                    taken.after.spot,
                )
                after.append(
                    (part, minutes + taken.minutes, then, number in row.shows, {**seen, row.check: number})
                )
        for part, spent, now, mends, known in after:
            if part < 1e-12:
                continue
            if not mends:
                stack.append((place + 1, part, spent, now, now_row, known))
                continue
            repair = model.repairs[row.repair]
            work = step_cost(library, now, repair.needs)
            assert work is not None
            proof = step_cost(library, work.after, proof_needs(library, work.after, session.complaint))
            assert proof is not None
            spent += work.minutes + proof.minutes
            for share, left in left_by(repair, model, now_row):
                if left == ENDED:
                    yield part * share, spent, True
                else:
                    stack.append((place + 1, part * share, spent, proof.after, left, known))


def test_the_evaluation_equals_every_path_of_every_likely_engine(case: Case) -> None:
    session, whole, _ = case
    rows = whole[:6]
    shop = workshop(session, session.job)
    for engine_row in np.argsort(-session.belief.posterior)[:5].tolist():
        alone = np.zeros_like(session.belief.posterior)
        alone[engine_row] = 1.0
        entrant = Entrant(1.0, Belief(session.model, alone), session.job)
        worked = work_down(rows, shop, [entrant])
        walked = list(paths(session, rows, engine_row))
        assert sum(chance for chance, _, _ in walked) == pytest.approx(1.0, abs=1e-6)
        assert worked.confirmed == pytest.approx(sum(one for one, _, cured in walked if cured), abs=1e-6)
        assert worked.minutes == pytest.approx(sum(one * spent for one, spent, _ in walked), rel=1e-5)


def test_the_evaluation_agrees_with_simulated_engines(case: Case) -> None:
    session, rows, outcome = case
    engines = [Engine(session.model, 5, number, 0.0) for number in range(1500)]
    cured = [simulated(session, rows, engine) for engine in engines]
    error = (outcome.confirmed * (1 - outcome.confirmed) / len(cured)) ** 0.5
    assert abs(sum(cured) / len(cured) - outcome.confirmed) < 3 * error


def simulated(session: Session, rows: tuple[ListRow, ...], engine: Engine) -> bool:
    """Whether a sampled engine is cured by the list; its checks are answered by its own luck."""
    made: frozenset[RepairId] = frozenset()
    for row in rows:
        state = EngineState(session.job.houses, made)
        if row.check is None or engine.shows(row.check, state) in row.shows:
            made |= {row.repair}
            if engine.mended(made):
                return True
    return False


def test_nothing_is_lost(case: Case) -> None:
    _, rows, outcome = case
    assert outcome.confirmed + outcome.left == pytest.approx(1.0)
    assert outcome.left > 0.0
    for row, worked in zip(rows, outcome.rows, strict=True):
        assert 0.0 <= worked.cured <= worked.shown <= worked.reached <= 1.0 + 1e-9
        assert row.check is not None or worked.shown == pytest.approx(worked.reached)


def test_a_repair_is_named_once_and_a_check_is_more_than_a_question(case: Case) -> None:
    session, rows, _ = case
    assert len({row.repair for row in rows}) == len(rows) > 2
    for row in rows:
        if row.check is not None:
            assert session.model.checks[row.check].kind is not CheckKind.QUESTION
            assert row.shows
        assert set(row.causes) <= set(session.model.repairs[row.repair].cures)


def test_the_same_engines_give_the_same_rows(case: Case) -> None:
    session, rows, _ = case
    entrant = Entrant(1.0, session.belief, session.job)
    assert choose_rows(workshop(session, session.job), [entrant]) == rows


def test_what_the_kit_lacks_is_not_in_a_list() -> None:
    session = LOADED.walk("no-spark-seen", "points-moped", (), "pouch").session
    kit = session.job.kit
    assert kit is not None
    job = Job(session.job.houses, kit - {ItemId("plug-socket")})
    rows = choose_rows(workshop(session, job, 200), [Entrant(1.0, session.belief, job)])
    library = session.library
    for row in rows:
        for needs in (
            session.model.repairs[row.repair].needs,
            *([session.model.checks[row.check].needs] if row.check else []),
        ):
            assert step_cost(library, job, needs) is not None
            assert ItemId("plug-socket") not in needs.tools
            assert all(
                ItemId("plug-socket") not in library.setups[setup].needs.tools for setup in needs.setups
            )
    assert rows


def test_a_check_that_was_made_on_the_way_is_not_paid_for_again(case: Case) -> None:
    session, rows, _ = case
    row = next(row for row in rows if row.check is not None)
    assert row.check is not None
    shop = workshop(session, session.job)
    told = {row.check: row.shows[0]}
    knowing = work_down([row], shop, [Entrant(1.0, session.belief, session.job, told)])
    assert knowing.rows[0].shown == pytest.approx(1.0)
    assert not knowing.rows[0].before_check
    other = next(
        number for number in range(len(session.model.checks[row.check].findings)) if number not in row.shows
    )
    passing = work_down([row], shop, [Entrant(1.0, session.belief, session.job, {row.check: other})])
    assert passing.minutes == 0.0
    assert passing.left == pytest.approx(1.0)


def test_a_roadside_repair_is_taken_before_a_proper_one_of_the_same_cause() -> None:
    model = LOADED.walk("will-not-start", "points-moped").session.model
    kept = preferred_repairs(model, frozenset(model.repairs))
    assert set(kept) < set(model.repairs)
    for id_ in set(model.repairs) - set(kept):
        assert not model.repairs[id_].roadside
        for cause in model.repairs[id_].cures:
            assert any(
                repair.roadside and cause in repair.cures and repair.id in kept
                for repair in model.repairs.values()
            )


def test_no_spark_is_made_while_fuel_vapour_is_about() -> None:
    """Each check or repair is begun only from a state in which its dangers are ended first, and paid for."""
    session = LOADED.walk("will-not-start", "points-moped").session
    library = session.library
    dangers = frozenset(id_ for id_, one in library.setups.items() if one.danger)
    assert dangers
    job = Job(session.job.houses, None, dangers)
    step_costs = step_costs_of(session.model, job)
    fresh = step_costs.job_state(Job(session.job.houses))
    smelly = step_costs.job_state(job)
    blocked = [
        row
        for row, check in enumerate(session.model.checks.values())
        if dangers & set(check.needs.not_during)
    ]
    possible: list[CheckId] = []
    entrant = Entrant(1.0, prior_belief(session.model), job)
    for row in blocked:
        id_ = tuple(session.model.checks)[row]
        taken = step_cost(library, job, session.model.checks[id_].needs)
        if taken is None:
            continue
        possible += [id_]
        assert any(preparation.setup in dangers for preparation in taken.preparations)
        dear, cheap = (step_costs.check_costs([job_state])[0].minutes[row] for job_state in (smelly, fresh))
        assert dear > cheap
    listed = ListRow(next(iter(session.model.repairs)), (), possible[0], (0,))
    worked = work_down([listed], workshop(session, job, 50), [entrant])
    assert worked.rows[0].before_check == frozenset({smelly})


@pytest.mark.parametrize(
    ("left", "gone"), [(one, one == (False, False)) for one in product((True, False), repeat=2)]
)
def test_two_causes_that_each_keep_the_complaint_must_both_be_mended(
    left: tuple[bool, bool], gone: bool
) -> None:
    session = LOADED.walk("no-spark-seen", "points-moped").session
    model = session.model
    hypotheses = model.hypotheses
    row, repairs = next(
        (row, found)
        for row in range(hypotheses.count)
        if (found := separate_repairs(model, row)) and hypotheses.persists[row] == 0b1110
    )
    alone = np.zeros(hypotheses.count)
    alone[row] = 1.0
    rows = [ListRow(one, ()) for one, stays in zip(repairs, left, strict=True) if not stays]
    worked = work_down(
        rows, workshop(session, session.job), [Entrant(1.0, Belief(model, alone), session.job)]
    )
    both = prod(
        model.repairs[repair].cures[cause]
        for repair, cause in zip(repairs, hypotheses.causes_of(row), strict=True)
    )
    assert worked.confirmed == pytest.approx(both if gone else 0.0)


def separate_repairs(model: Model, row: int) -> tuple[RepairId, RepairId] | None:
    """A repair for each of two causes of a hypothesis that does not cure the other."""
    causes = model.hypotheses.causes_of(row)
    if len(causes) != 2:
        return None
    found = [
        next(
            (
                repair.id
                for repair in model.repairs.values()
                if cause in repair.cures and other not in repair.cures
            ),
            None,
        )
        for cause, other in (causes, causes[::-1])
    ]
    return (found[0], found[1]) if found[0] and found[1] else None
