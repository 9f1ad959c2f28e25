"""Looking back: which answers are doubted, in honest walks and in walks with one wrong answer."""

from __future__ import annotations

import random
from collections.abc import Iterator

import numpy as np
import pytest

from kickover.core.ids import CheckId, EventId, MachineId, SetupId
from kickover.inference.compiled_model import EngineState
from kickover.model.library import Library
from kickover.planning.job_state import Preparation, step_cost
from kickover.session.entries import Answered, Measured, Prepared, Proved, Repaired
from kickover.session.history import chances_over_time, doubtful, entry_in_words, for_and_against, moments
from kickover.session.session import Session, begin
from kickover.session.wording import preparation_title


@pytest.fixture(scope="module")
def walk(yard: Library) -> Session:
    return begin(yard, yard.machines[MachineId("moped")], [EventId("will-not-start")])


def chances(session: Session, check: CheckId, row: int) -> list[float]:
    """The chances of the findings of a check when a hypothesis is true."""
    state = EngineState(session.job.houses, session.belief.made)
    column = int(session.model.line_positions(check, state)[row])
    return [float(chance) for chance in session.model.chances[check][:, column]]


def answered(session: Session, luck: random.Random, row: int, wrong: bool) -> Iterator[Session]:
    """A walk through all checks in random order, each answered by chance; one of them wrongly if `wrong`."""
    possible = [
        id_
        for id_, check in session.model.checks.items()
        if step_cost(session.library, session.job, check.needs) is not None
    ]
    luck.shuffle(possible)
    lie = possible[0] if wrong else None
    for check in possible:
        odds = chances(session, check, row)
        place = luck.choices(range(len(odds)), odds)[0] if check != lie else int(np.argmin(odds))
        finding = session.model.checks[check].findings[place].id
        session = session.record(Answered(check, finding))
        yield session


def share_doubted(session: Session, walks: int, wrong: bool) -> float:
    luck = random.Random(11)
    prior = [float(share) for share in session.model.hypotheses.prior[:-1]]
    doubted = 0
    for _ in range(walks):
        row = luck.choices(range(len(prior)), prior)[0]
        doubted += any(doubtful(one) is not None for one in answered(session, luck, row, wrong))
    return doubted / walks


def test_honest_walks_are_rarely_doubted_and_wrong_answers_often(walk: Session) -> None:
    honest, wrong = share_doubted(walk, 200, wrong=False), share_doubted(walk, 200, wrong=True)
    assert honest <= 0.08
    assert wrong >= 3 * max(honest, 0.05)


def test_the_answer_that_no_likely_cause_explains_is_the_one_to_repeat(yard: Library) -> None:
    hot = begin(yard, yard.machines[MachineId("moped")], [EventId("dies-hot")])
    session = hot.replayed([Answered("chain-look", "loose"), Measured("coil-ohms", 20_000, 20_000)])
    doubt = doubtful(session)
    assert doubt is not None
    assert doubt.check == "chain-look"
    assert 0.0 <= doubt.share < 0.08


def test_one_answer_or_answers_that_agree_are_not_doubted(walk: Session) -> None:
    assert doubtful(walk) is None
    assert doubtful(walk.record(Answered("choke-look", "yes"))) is None
    agreeing = walk.replayed([Answered("fuel-at-hose", "no"), Answered("tap-look", "shut")])
    assert doubtful(agreeing) is None


def test_what_speaks_for_a_cause_multiplies_its_odds(walk: Session) -> None:
    session = walk.replayed([Answered("tap-look", "shut"), Answered("spark-at-plug", "strong")])
    lines = for_and_against(session, (EventId("tap-shut"), EventId("switch-shorted")))
    assert "times as likely" in lines[EventId("tap-shut")][0]
    assert "times less likely" in lines[EventId("switch-shorted")][-1]


def test_chances_over_time_begin_at_the_start_and_end_now(walk: Session) -> None:
    session = walk.replayed([Answered("tap-look", "shut"), Repaired("open-tap"), Proved(gone=True)])
    (cause, shares), *_ = chances_over_time(session)
    assert cause == "tap-shut"
    assert len(shares) == 3
    assert shares[0] == pytest.approx(walk.belief.marginals()[cause])
    assert shares[-1] == pytest.approx(session.belief.marginals()[cause])


def test_moments_and_words_follow_the_entries(walk: Session) -> None:
    session = walk.replayed([Measured("compression", 6.0, 7.0), Answered("choke-look", "no")])
    assert [entry_in_words(session, entry) for entry, _, _ in moments(session)] == [
        "Compression: 6 bar (87 psi) to 7 bar (102 psi)",
        "Choke: No",
    ]


def test_what_is_put_back_is_called_as_its_author_calls_it(shipped: Library) -> None:
    walk = begin(shipped, shipped.machines[MachineId("points-moped")], [EventId("will-not-start")])
    session = walk.replayed([Prepared("plug-cap-off", False), Prepared("plug-cap-off", True)])
    assert [entry_in_words(session, entry) for entry in session.entries] == [
        "Done: plug cap off",
        "Done: push the plug cap on again",
    ]


def test_a_setup_without_words_of_its_own_is_put_back_by_its_title(yard: Library) -> None:
    preparation = Preparation(SetupId("plug-out"), True, None, 1.0)
    assert preparation_title(yard, preparation) == "Put back: plug out"


def test_a_proven_cure_leaves_only_what_the_repair_cures(walk: Session) -> None:
    session = walk.replayed([Repaired("open-tap"), Proved(gone=True)])
    (cause, shares), *others = chances_over_time(session)
    assert cause == "tap-shut"
    assert shares[-1] == pytest.approx(1.0)
    assert session.belief.unlisted == 0.0
    assert all(share[-1] < 0.5 for _, share in others)
