"""Chooses the rows of a finishing list: which repair next, and which check, if any, is worth making first.

Rows go by the chance that they cure over the minutes that they take (Kadane and Simon 1977), each reckoned
where the rows before it leave the work. A roadside repair is taken before a proper one of the same cause.
The choice is made with the likeliest hypotheses alone; what a list does is worked out with all of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from kickover.core.ids import CheckId, EventId, RepairId
from kickover.inference.compiled_model import Model
from kickover.inference.hypotheses import Floats
from kickover.model.library import CheckKind
from kickover.planning.finishing import Entrant, ListRow, Spread, Workshop
from kickover.planning.step_costs import JobState

MOST_ROWS = 20
LEAST_WORTH = 0.005
"""A row cures at least this part of the engines that come to its list."""
SPEAKS = 2.0
"""A finding speaks for a row when it makes its cure at least so many times as likely (estimate)."""
NAMED = 0.15
"""A cause is named in a row when it makes at least this part of what the row cures (estimate)."""
TELLING = 0.02
"""A check is looked at when some finding's chances differ by so much over its lines (estimate)."""


class _Best(NamedTuple):
    repair: int
    check: int
    shows: tuple[int, ...]
    cured: float
    minutes: float


@dataclass(frozen=True, slots=True, eq=False)
class _Choices:
    """The checks, with the first row of each in the stacked `chances`, and the repairs to choose from."""

    checks: tuple[CheckId, ...]
    starts: NDArray[np.intp]
    chances: Floats
    repairs: tuple[RepairId, ...]
    check_rows: NDArray[np.intp]
    repair_rows: NDArray[np.intp]


def choose_rows(
    workshop: Workshop, entrants: Sequence[Entrant], most: int = MOST_ROWS, least: float = LEAST_WORTH
) -> tuple[ListRow, ...]:
    """The rows of a list for `entrants`, at most `most`, each curing at least the share `least` of them."""
    spread = workshop.spread(entrants, frozenset(workshop.check_rows))
    if not spread:
        return ()
    choices = _choices(workshop, spread)
    come = sum(entrant.share for entrant in entrants)
    rows: list[ListRow] = []
    closed: frozenset[CheckId] = frozenset()
    while len(rows) < most:
        best = _best(workshop, choices, spread, least * come, closed)
        if best is None:
            break
        row = _row(workshop, choices, spread, best)
        used = {one.check for one in rows if one.check is not None}
        rows.append(row)
        if row.check is not None:
            closed = frozenset(used - {row.check})
        _, spread = workshop.work(row, spread, frozenset(workshop.check_rows) - closed)
        choices = _without(choices, row.repair)
    return tuple(rows)


def _without(choices: _Choices, repair: RepairId) -> _Choices:
    """The same choices less one repair: a list names each once."""
    kept = np.array([one != repair for one in choices.repairs])
    repairs = tuple(one for one in choices.repairs if one != repair)
    return replace(choices, repairs=repairs, repair_rows=choices.repair_rows[kept])


def preferred_repairs(model: Model, possible: frozenset[RepairId]) -> tuple[RepairId, ...]:
    """Those of the `possible` repairs that a list may name: for each cause the roadside ones, if any."""
    by_cause: dict[EventId, list[RepairId]] = {}
    for id_ in sorted(possible):
        for cause in model.repairs[id_].cures:
            by_cause.setdefault(cause, []).append(id_)
    kept: set[RepairId] = set()
    for repairs in by_cause.values():
        roadside = [repair for repair in repairs if model.repairs[repair].roadside]
        kept.update(roadside or repairs)
    return tuple(sorted(kept))


def _choices(workshop: Workshop, spread: Spread) -> _Choices:
    """What can be done at all from where the work mostly stands, and the chances of all findings there."""
    model = workshop.population.model
    job_state = _mostly(spread)
    check_costs = workshop.step_costs.check_costs([job_state])[0]
    repair_minutes = workshop.step_costs.repair_costs([job_state])[0].minutes
    checks = tuple(
        sorted(
            id_
            for id_, row in workshop.check_rows.items()
            if np.isfinite(check_costs.minutes[row])
            and model.checks[id_].kind is not CheckKind.QUESTION
            and _tells(model.chances[id_])
        )
    )
    tables = [
        workshop.population.chances(id_, check_costs.houses[workshop.check_rows[id_]]) for id_ in checks
    ]
    possible = frozenset(id_ for id_, row in workshop.repair_rows.items() if np.isfinite(repair_minutes[row]))
    repairs = preferred_repairs(model, possible)
    size = workshop.population.size
    return _Choices(
        checks,
        np.cumsum([0, *(len(table) for table in tables)]).astype(np.intp)[:-1],
        np.vstack(tables) if tables else np.zeros((0, size)),
        repairs,
        np.array([workshop.check_rows[check] for check in checks], dtype=np.intp),
        np.array([workshop.repair_rows[repair] for repair in repairs], dtype=np.intp),
    )


def _tells(chances: Floats) -> bool:
    listed = chances[:, :-1]
    return bool((listed.max(axis=1) - listed.min(axis=1)).max() >= TELLING)


def _mostly(spread: Spread) -> JobState:
    weights: dict[JobState, float] = {}
    for (job_state, _), masses in spread.items():
        weights[job_state] = weights.get(job_state, 0.0) + float(masses.sum())
    return min(
        weights, key=lambda job_state: (-round(weights[job_state], 12), job_state.in_place, job_state.spot)
    )


def _best(
    workshop: Workshop, choices: _Choices, spread: Spread, least: float, closed: frozenset[CheckId]
) -> _Best | None:
    """The row that cures most for its minutes, of those that cure at least `least`.

    The checks in `closed` were made higher up, and another one since, so that nobody looks back for them.
    """
    masses = np.sum(list(spread.values()), axis=0)
    total = float(masses.sum())
    cures = np.stack([workshop.population.effect(repair).ends for repair in choices.repairs] or [masses[:0]])
    at_once = cures @ masses if len(choices.repairs) else np.zeros(0)
    rows = np.flatnonzero(at_once >= least)
    if not len(rows) or total <= 0.0:
        return None
    job_state = _mostly(spread)
    repair_minutes = workshop.step_costs.repair_costs([job_state])[0].minutes[choices.repair_rows[rows]]
    check_minutes = workshop.step_costs.check_costs([job_state])[0].minutes[choices.check_rows]
    barred = np.array([check in closed for check in choices.checks], dtype=bool)
    give_up = workshop.population.model.library.settings.give_up_minutes
    found = [
        _Best(int(row), -1, (), float(at_once[row]), float(minutes) * total)
        for row, minutes in zip(rows, repair_minutes, strict=True)
    ]
    if choices.checks:
        found = _with_checks(
            choices, spread, cures[rows], check_minutes, repair_minutes, found, give_up, barred
        )
    worth = [one for one in found if one.cured >= least and np.isfinite(one.minutes)]
    if not worth:
        return None
    return min(worth, key=lambda one: (-one.cured / one.minutes, choices.repairs[one.repair]))


def _with_checks(
    choices: _Choices,
    spread: Spread,
    cures: Floats,
    check_minutes: Floats,
    repair_minutes: Floats,
    at_once: list[_Best],
    give_up: float,
    barred: NDArray[np.bool_],
) -> list[_Best]:
    """Each of `at_once` with the check first that makes it worth most, where one does."""
    findings, fresh = _by_finding(choices, spread)
    seen = findings.sum(axis=1)
    cured = findings @ cures.T
    total = float(np.sum([masses.sum() for masses in spread.values()]))
    prior = np.array([one.cured for one in at_once]) / total
    share = np.divide(cured, seen[:, None], out=np.zeros_like(cured), where=seen[:, None] > 0.0)
    speaks = (share >= SPEAKS * prior) & (share * give_up >= repair_minutes)
    shown_cured = np.add.reduceat(np.where(speaks, cured, 0.0), choices.starts, axis=0)
    shown = np.add.reduceat(np.where(speaks, seen[:, None], 0.0), choices.starts, axis=0)
    minutes = np.where(np.isfinite(check_minutes), check_minutes, 1e9)[:, None] * fresh[:, None]
    minutes = minutes + shown * repair_minutes
    value = np.where((shown_cured > 0.0) & ~barred[:, None], give_up * shown_cured - minutes, -np.inf)
    ends = np.append(choices.starts[1:], len(seen))
    result = []
    for column, plain in enumerate(at_once):
        check = int(np.argmax(value[:, column]))
        if value[check, column] <= give_up * plain.cured - plain.minutes:
            result.append(plain)
            continue
        first = int(choices.starts[check])
        shows = tuple(int(one) for one in np.flatnonzero(speaks[first : ends[check], column]))
        result.append(
            _Best(
                plain.repair,
                check,
                shows,
                float(shown_cured[check, column]),
                max(float(minutes[check, column]), 1e-6),
            )
        )
    return result


def _by_finding(choices: _Choices, spread: Spread) -> tuple[Floats, Floats]:
    """The masses by finding, shape (findings, size), and for each check the mass that has not made it."""
    position = {check: number for number, check in enumerate(choices.checks)}
    total = np.sum(list(spread.values()), axis=0)
    findings = choices.chances * total
    fresh = np.full(len(choices.checks), float(total.sum()))
    ends = np.append(choices.starts[1:], len(findings))
    for (_, known), masses in spread.items():
        for check, place in known:
            if check not in position:
                continue
            number = position[check]
            first = choices.starts[number]
            findings[first : ends[number]] -= choices.chances[first : ends[number]] * masses
            findings[first + place] += masses
            fresh[number] -= float(masses.sum())
    return np.maximum(findings, 0.0), np.maximum(fresh, 0.0)


def _row(workshop: Workshop, choices: _Choices, spread: Spread, best: _Best) -> ListRow:
    repair = choices.repairs[best.repair]
    check = choices.checks[best.check] if best.check >= 0 else None
    masses = np.zeros(workshop.population.size)
    for (_, known), mass in spread.items():
        told = dict(known)
        if check is None:
            masses += mass
        elif check in told:
            masses += mass if told[check] in best.shows else 0.0
        else:
            first = choices.starts[best.check]
            masses += choices.chances[[first + show for show in best.shows]].sum(axis=0) * mass
    return ListRow(repair, _causes(workshop, repair, masses), check, best.shows)


def _causes(workshop: Workshop, repair: RepairId, masses: Floats) -> tuple[EventId, ...]:
    """The causes that a row cures, likeliest first, those worth naming."""
    population = workshop.population
    ended = population.effect(repair).ends * masses
    model = population.model
    weights: dict[EventId, float] = {}
    for column in population.hypotheses.members.T:
        mass = np.bincount(
            column[column >= 0],
            weights=ended[column >= 0],
            minlength=len(model.hypotheses.structure.causes),
        )
        for number in np.flatnonzero(mass):
            cause = model.hypotheses.structure.causes[number]
            if cause in model.repairs[repair].cures:
                weights[cause] = weights.get(cause, 0.0) + float(mass[number])
    total = sum(weights.values())
    ranked = sorted(weights, key=lambda cause: (-round(weights[cause], 15), cause))
    return tuple(cause for cause in ranked if weights[cause] >= NAMED * total)[:3] or tuple(ranked[:1])
