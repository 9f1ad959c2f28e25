"""Works out finishing lists: rows of likely causes that are worked down in order, check, repair and proof.

A row's repair is made when its check shows the cause, or at once where it has no check; then the complaint
is gone, or the next row follows. What a list does to all engines that come to it is exact: the chances are
those of the model, and the minutes those of the job, so that a plug that is out stays out for the next row.
An engine that a row cannot be worked on (a state that no waiting brings about) goes on to the next row.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from kickover.core.ids import CheckId, EventId, RepairId
from kickover.inference.belief import Belief
from kickover.inference.hypotheses import Floats
from kickover.planning.job_state import Job
from kickover.planning.residual_faults import ResidualFaults
from kickover.planning.step_costs import JobState, StepCostModel

NEGLIGIBLE = 1e-15
"""A mass below this is not followed."""


@dataclass(frozen=True, slots=True)
class ListRow:
    """One row: the likely causes, the check whose findings in `shows` (positions) speak for them, the repair.

    Without a check the repair is made at once.
    """

    repair: RepairId
    causes: tuple[EventId, ...]
    check: CheckId | None = None
    shows: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Entrant:
    """Engines that come to a list alike: their share of all walks, what is believed of them, the job.

    `known` are the findings (positions) of checks that were made on the way; they are not made again.
    """

    share: float
    belief: Belief
    job: Job
    known: Mapping[CheckId, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class RowNumbers:
    """What a row does, as shares of all walks: those that come to it, that make its repair, that it cures.

    `minutes` are those spent in it, times shares. `before_check` and `before_repair` are where the work may
    stand when its check, and its repair, are begun.
    """

    reached: float
    shown: float
    cured: float
    minutes: float
    before_check: frozenset[JobState]
    before_repair: frozenset[JobState]


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a whole list does, as shares of all walks: confirmed repairs, minutes (times shares), the rest."""

    rows: tuple[RowNumbers, ...]
    confirmed: float
    minutes: float
    left: float


Known = frozenset[tuple[CheckId, int]]
Spread = dict[tuple[JobState, Known], Floats]
"""The masses of a population by where the work stands and which findings are known."""


@dataclass(frozen=True, slots=True, eq=False)
class Workshop:
    """What rows are worked with: the population and the outlays of its model with one kit."""

    population: ResidualFaults
    step_costs: StepCostModel
    check_rows: Mapping[CheckId, int]
    repair_rows: Mapping[RepairId, int]

    def spread(self, entrants: Sequence[Entrant], checks: frozenset[CheckId]) -> Spread:
        """The masses of `entrants` at the head of a list that uses `checks`."""
        result: Spread = {}
        for entrant in entrants:
            known = frozenset((check, place) for check, place in entrant.known.items() if check in checks)
            masses = self.population.masses(entrant.belief, entrant.share)
            _add(result, (self.step_costs.job_state(entrant.job), known), masses)
        return result

    def work(self, row: ListRow, spread: Spread, later: frozenset[CheckId]) -> tuple[RowNumbers, Spread]:
        """Work a row with all that come to it; `later` are the checks of the rows after it."""
        after: Spread = {}
        shown: Spread = {}
        before_check: set[JobState] = set()
        minutes = 0.0
        for (job_state, known), masses in spread.items():
            for seen, place, masses_then, spent in self._checked(row, job_state, known, masses, before_check):
                minutes += spent * float(masses_then.sum())
                told = known if row.check is None or place is None else known | {(row.check, place)}
                kept = frozenset(one for one in told if one[0] in later)
                repairs = row.check is None or place in row.shows
                _add(shown if repairs else after, (seen, kept), masses_then)
        reached = sum(float(masses.sum()) for masses in spread.values())
        repaired = cured = 0.0
        before_repair: set[JobState] = set()
        for (job_state, known), masses in shown.items():
            costs = self.step_costs.repair_costs([job_state])[0]
            number = self.repair_rows[row.repair]
            if not np.isfinite(costs.minutes[number]):
                _add(after, (job_state, known), masses)
                continue
            before_repair.add(job_state)
            total = float(masses.sum())
            minutes += float(costs.minutes[number]) * total
            repaired += total
            left = self.population.effect(row.repair).failed(masses)
            cured += total - float(left.sum())
            _add(after, (costs.after(number), known), left)
        numbers = RowNumbers(
            reached, repaired, cured, minutes, frozenset(before_check), frozenset(before_repair)
        )
        return numbers, after

    def _checked(
        self, row: ListRow, job_state: JobState, known: Known, masses: Floats, before: set[JobState]
    ) -> Iterator[tuple[JobState, int | None, Floats, float]]:
        """The stand, finding, masses and minutes of each finding of a row's check, or one for all."""
        told = dict(known)
        if row.check is None or row.check in told:
            yield job_state, None if row.check is None else told[row.check], masses, 0.0
            return
        number = self.check_rows[row.check]
        costs = self.step_costs.check_costs([job_state])[0]
        spent = float(costs.minutes[number])
        if not np.isfinite(spent):
            yield job_state, None, masses, 0.0
            return
        before.add(job_state)
        chances = self.population.chances(row.check, costs.houses[number])
        for place, seen in enumerate(self.step_costs.after_check(job_state, number)):
            yield seen, place, masses * chances[place], spent


def work_down(rows: Sequence[ListRow], workshop: Workshop, entrants: Sequence[Entrant]) -> Outcome:
    """What comes of working `rows` down in order with all `entrants`."""
    checks = [one.check for one in rows]
    spread = workshop.spread(entrants, frozenset(check for check in checks if check is not None))
    numbers = []
    for place, row in enumerate(rows):
        later = frozenset(check for check in checks[place + 1 :] if check is not None)
        done, spread = workshop.work(row, spread, later)
        numbers.append(done)
    return Outcome(
        tuple(numbers),
        sum(number.cured for number in numbers),
        sum(number.minutes for number in numbers),
        sum(float(masses.sum()) for masses in spread.values()),
    )


def workshop_of(population: ResidualFaults, step_costs: StepCostModel) -> Workshop:
    """What rows are worked with."""
    model = population.model
    return Workshop(
        population,
        step_costs,
        {id_: row for row, id_ in enumerate(model.checks)},
        {id_: row for row, id_ in enumerate(model.repairs)},
    )


def _add(spread: Spread, key: tuple[JobState, Known], masses: Floats) -> None:
    if float(masses.sum()) <= NEGLIGIBLE:
        return
    spread[key] = spread[key] + masses if key in spread else masses
