"""Simulated engines under a way of choosing steps: what it takes until the fault is confirmed.

An engine is one hypothesis drawn from the model of how engines really are; it answers each check by that
model's chances, always the same whenever it is asked, so that several ways of choosing meet the same luck.
Who chooses may believe in another model. Engines that show the same so far share the thinking about them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import log

import numpy as np

from kickover.core.ids import CheckId, EventId, RepairId, SetupId
from kickover.inference.belief import Belief, Evidence, prior_belief
from kickover.inference.compiled_model import EngineState, Model
from kickover.inference.hypotheses import ENDED, UNLISTED, Floats, Hypotheses
from kickover.model.library import Needs
from kickover.planning.build_problem import lines_of, only
from kickover.planning.job_state import Job, StepCost, proof_needs, step_cost


@dataclass(frozen=True, slots=True)
class Act:
    """A step that was chosen: a check, or repairs in order before one proof; neither is giving up."""

    check: CheckId | None = None
    repairs: tuple[RepairId, ...] = ()


Choosing = Callable[[Belief, Job], Act]
"""A way of choosing the next step. It must depend on nothing but what it is given."""

MOST_STEPS = 150
"""A walk that is still going after so many steps is given up."""


@dataclass(frozen=True, slots=True)
class RankingSnapshot:
    """The ranking at one moment, held against the truth.

    `sure` is the probability of the leading set of causes and `right` whether it is the true one; `loss` is
    minus the natural logarithm of the probability of the true set, `brier` the sum of squared errors over
    all sets (Brier 1950).
    """

    answers: int
    top_one: bool
    top_three: bool
    sure: float
    right: bool
    loss: float
    brier: float


@dataclass(frozen=True, slots=True)
class Walked:
    """How one engine's walk went.

    `ranking` is how the ranking stands at the end against what was wrong; once the complaint is gone, the
    ranking of what the last repair can have cured. `credited_wrong` says that it was laid to causes of which
    it had none. `snapshots` are the rankings at each number of answers. What was known then decides when that
    is, so that probabilities can be held against frequencies; a look just before the end would be chosen by
    the truth.
    """

    engine: int
    minutes: float
    checks: int
    repairs: int
    wrong_repairs: int
    confirmed: bool
    listed: bool
    ranking: RankingSnapshot
    credited_wrong: bool
    snapshots: tuple[RankingSnapshot, ...]


class Engine:
    """One engine with a hidden fault. `number` and `seed` fix everything about it."""

    def __init__(
        self,
        model: Model,
        seed: int,
        number: int,
        slips: float,
        row: int | None = None,
        unsure: float = 0.0,
    ) -> None:
        """`slips` is the share of answers that are wrong: any other finding than the one it shows.

        `unsure` is the share of checks to which the rider can tell nothing. What is wrong is the hypothesis
        `row`, or else drawn.
        """
        rng = np.random.default_rng([seed, number])
        self.model = model
        self.number = number
        self.row = int(np.searchsorted(np.cumsum(model.hypotheses.prior), rng.random()))
        self.row = min(self.row, model.hypotheses.count - 1) if row is None else row
        self.slips = slips
        self.luck: Mapping[CheckId, Floats] = dict(
            zip(sorted(model.checks), rng.random((len(model.checks), 3)), strict=True)
        )
        cannot_tell = np.random.default_rng([seed, number, 1]).random(len(model.checks)) < unsure
        self._untold = frozenset(
            id_ for id_, one in zip(sorted(model.checks), cannot_tell, strict=True) if one
        )
        hypotheses = model.hypotheses
        works = rng.random((len(model.repairs), hypotheses.members.shape[1]))
        self._works: Mapping[RepairId, Floats] = dict(zip(sorted(model.repairs), works, strict=True))
        left = np.unique(np.append(hypotheses.remaining[self.row], self.row))
        tail = np.arange(hypotheses.count - UNLISTED, hypotheses.count)
        self._rows = [row for row in left.tolist() if row != ENDED and row < tail[0]] + tail.tolist()
        self._states: Hypotheses = only(hypotheses, np.array(self._rows))

    @property
    def causes(self) -> tuple[EventId, ...]:
        """What is wrong with it; an undeveloped event, or nothing, for a cause that is not listed."""
        return self.model.hypotheses.causes_of(self.row)

    def shows(self, check: CheckId, state: EngineState) -> int:
        """The position of the finding that is reported."""
        line = lines_of(self._states, [self.model.checks[check]], [state.houses])
        chances = self.model.chances[check][:, line[0, self._rows.index(self.row_after(state.made))]]
        luck = self.luck[check]
        finding = min(int(np.searchsorted(np.cumsum(chances), luck[0])), len(chances) - 1)
        if luck[1] < self.slips and len(chances) > 1:
            others = [one for one in range(len(chances)) if one != finding]
            return others[int(luck[2] * len(others))]
        return finding

    def tells(self, check: CheckId, state: EngineState) -> int | None:
        """The position of the finding that is reported, None where the rider is not sure."""
        return None if check in self._untold else self.shows(check, state)

    def mended(self, made: frozenset[RepairId]) -> bool:
        """Tell whether the complaint is gone after the repairs `made`."""
        return self.row_after(made) == ENDED

    def row_after(self, made: frozenset[RepairId]) -> int:
        """What is wrong with it after the repairs `made`, as a hypothesis; `ENDED` when it is mended."""
        hypotheses = self.model.hypotheses
        mended = frozenset(
            hypotheses.structure.causes[member]
            for repair in made
            for member, luck in zip(hypotheses.members[self.row].tolist(), self._works[repair], strict=True)
            if luck < self.model.works[repair][member]
        )
        return hypotheses.row_left(self.row, mended)


@dataclass(frozen=True, slots=True)
class _Together:
    """Engines that went through the same so far."""

    belief: Belief
    job: Job
    engines: tuple[Engine, ...]
    minutes: float = 0.0
    checks: int = 0
    repairs: int = 0


def simulate(
    believed: Model, engines: Sequence[Engine], choose: Choosing, start: Job, give_up: float
) -> list[Walked]:
    """Walk every engine to its end, with the steps that `choose` takes believing in `believed`."""
    run = _Run(choose, give_up)
    waiting = [_Together(prior_belief(believed), start, tuple(engines))]
    while waiting:
        waiting.extend(run.step(waiting.pop()))
    return sorted(run.done, key=lambda walked: walked.engine)


class _Run:
    """One simulation: what was seen of each engine so far, and the walks that have ended."""

    def __init__(self, choose: Choosing, give_up: float) -> None:
        self.choose = choose
        self.give_up = give_up
        self.seen: dict[int, list[RankingSnapshot]] = {}
        self.done: list[Walked] = []

    def step(self, now: _Together) -> list[_Together]:
        """Take the next step with all that went the same way, and part them by what comes of it."""
        self._look(now)
        act = self.choose(now.belief, now.job) if now.checks + now.repairs < MOST_STEPS else Act()
        if act.check is not None:
            return self._checked(now, act.check)
        if act.repairs:
            return self._repaired(now, act.repairs)
        given_up = replace(now, minutes=now.minutes + self.give_up)
        self._end(given_up, now.engines, now.belief)
        return []

    def _checked(self, now: _Together, check: CheckId) -> list[_Together]:
        known = now.belief.model.checks[check]
        taken = _able(now.belief.model, now.job, known.needs)
        state = EngineState(taken.after.houses, now.belief.made)
        by_finding: dict[int | None, list[Engine]] = {}
        for engine in now.engines:
            by_finding.setdefault(engine.tells(check, state), []).append(engine)
        after = []
        for finding, engines in sorted(
            by_finding.items(), key=lambda pair: -1 if pair[0] is None else pair[0]
        ):
            belief, leaves = now.belief, frozenset[SetupId]()
            if finding is not None:
                weights = tuple(float(place == finding) for place in range(len(known.findings)))
                belief = belief.after(Evidence(check, weights, state))
                leaves = frozenset(known.findings[finding].leaves)
            after.append(
                replace(
                    now,
                    belief=belief,
                    job=replace(
                        taken.after, made=now.job.made | {check}, in_place=taken.after.in_place | leaves
                    ),
                    engines=tuple(engines),
                    minutes=now.minutes + taken.minutes,
                    checks=now.checks + 1,
                )
            )
        return after

    def _repaired(self, now: _Together, repairs: tuple[RepairId, ...]) -> list[_Together]:
        model = now.belief.model
        minutes, job = now.minutes, now.job
        for repair in repairs:
            work = _able(model, job, model.repairs[repair].needs)
            minutes, job = minutes + work.minutes, work.after
        complaint = model.library.complaints[model.hypotheses.complaints[0]]
        proof = _able(model, job, proof_needs(model.library, job, complaint))
        made = replace(
            now, job=proof.after, minutes=minutes + proof.minutes, repairs=now.repairs + len(repairs)
        )
        mended = tuple(engine for engine in now.engines if engine.mended(now.belief.made.union(repairs)))
        others = tuple(engine for engine in now.engines if engine not in mended)
        self._end(made, mended, now.belief.ended_by(repairs), repairs)
        return [replace(made, belief=now.belief.after_all(repairs), engines=others)] if others else []

    def _end(
        self, now: _Together, engines: Sequence[Engine], belief: Belief, cured_by: tuple[RepairId, ...] = ()
    ) -> None:
        ranking = Ranking(belief)
        credited = belief.credited(cured_by)
        for engine in engines:
            self.done.append(
                Walked(
                    engine=engine.number,
                    minutes=now.minutes,
                    checks=now.checks,
                    repairs=now.repairs,
                    wrong_repairs=now.repairs - bool(cured_by),
                    confirmed=bool(cured_by),
                    listed=not engine.model.hypotheses.unlisted[engine.row],
                    ranking=ranking.against(engine, now.checks),
                    credited_wrong=bool(cured_by) and set(credited).isdisjoint(engine.causes),
                    snapshots=tuple(self.seen[engine.number]),
                )
            )

    def _look(self, now: _Together) -> None:
        """Hold the ranking against the truth, when a number of answers is first reached."""
        if len(self.seen.setdefault(now.engines[0].number, [])) > now.checks:
            return
        ranking = Ranking(now.belief)
        for engine in now.engines:
            self.seen.setdefault(engine.number, []).append(ranking.against(engine, now.checks))


class Ranking:
    """The sets of causes of a belief, ready to be held against the truth."""

    def __init__(self, belief: Belief) -> None:
        self.belief = belief
        self.first = tuple(ranked.cause for ranked in belief.ranking()[:3])
        firsts, _ = belief.model.sets_of_causes()
        self.masses = belief.set_masses()
        self.squares = float(self.masses @ self.masses)
        leading = int(np.argmax(self.masses))
        self.sure = float(self.masses[leading])
        self.leading = belief.model.hypotheses.causes_of(int(firsts[leading]))

    def against(self, engine: Engine, answers: int) -> RankingSnapshot:
        """How the ranking looks to someone who knows what is wrong with `engine`."""
        row = engine.row_after(self.belief.made)
        left = engine.model.hypotheses.causes_of(row)
        _, numbers = self.belief.model.sets_of_causes()
        truth = float(self.masses[numbers[row]])
        return RankingSnapshot(
            answers=answers,
            top_one=any(cause in left for cause in self.first[:1]),
            top_three=any(cause in left for cause in self.first),
            sure=self.sure,
            right=self.leading == left,
            loss=-log(max(truth, 1e-12)),
            brier=self.squares - 2.0 * truth + 1.0,
        )


def _able(model: Model, job: Job, needs: Needs) -> StepCost:
    taken = step_cost(model.library, job, needs)
    assert taken is not None, "a step was chosen that cannot be made"
    return taken
