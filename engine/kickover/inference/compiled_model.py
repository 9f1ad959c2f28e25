"""The compiled model of one complaint on one machine: hypotheses, and the chances of every finding.

A check's first matching line decides its chances, so a hypothesis needs only the position of its line, and
the chances are one small table a check. Positions depend on the state of the engine (the situation, and
what was already cured); each state is worked out once, when it is first needed.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field
from typing import cast

import numpy as np
from numpy.typing import NDArray

from kickover.core.ids import CheckId, EventId, FindingId, RepairId
from kickover.inference.hypotheses import Floats, Hypotheses, hypothesise
from kickover.model.library import Check, Library, Line, Machine, Repair
from kickover.model.limits import resolved_bands
from kickover.model.truth import Bits, where

LinePositions = NDArray[np.uint8]


@dataclass(frozen=True, slots=True)
class EngineState:
    """The engine as it is when a check is made: true house events, and causes that were cured before."""

    houses: frozenset[EventId]
    cured: frozenset[EventId] = frozenset()


@dataclass(frozen=True, slots=True)
class Model:
    """What the reasoning needs, and nothing else.

    `chances[check]` has shape (findings, lines + 1): a column a line, then even chances for the unlisted
    cause that may show anything. `edges[check]` are the rising limits between the bands of a measurement, in
    its unit. `checks` and `repairs` are those that the machine can have. `memory` keeps what planning has
    worked out from the model; nothing is lost when it is emptied.
    """

    library: Library
    machine: Machine
    hypotheses: Hypotheses
    checks: Mapping[CheckId, Check]
    repairs: Mapping[RepairId, Repair]
    chances: Mapping[CheckId, Floats]
    edges: Mapping[CheckId, tuple[float, ...]]
    memory: dict[Hashable, object] = field(default_factory=dict, repr=False)
    _positions: dict[tuple[CheckId, EngineState], LinePositions] = field(default_factory=dict, repr=False)
    _truths: dict[EngineState, Mapping[EventId, Bits]] = field(default_factory=dict, repr=False)

    def line_positions(self, check: CheckId, state: EngineState) -> LinePositions:
        """The column of `chances[check]` that holds for each hypothesis: shape (H,)."""
        key = (check, state)
        if key not in self._positions:
            self._positions[key] = self._work_out(self.checks[check], state)
        return self._positions[key]

    def likelihood(self, check: CheckId, weights: Sequence[float], state: EngineState) -> Floats:
        """The chance of an answer under each hypothesis: shape (H,).

        `weights` has one number a finding: 1 for the one that was seen and 0 for the others, or shares
        for an unsure answer or a reading near a limit (virtual evidence, Pearl 1988).
        """
        by_line = np.asarray(weights, dtype=np.float64) @ self.chances[check]
        return np.asarray(by_line[self.line_positions(check, state)])

    def truth(self, state: EngineState) -> Mapping[EventId, Bits]:
        """The packed truth of every event in `state`."""
        if state not in self._truths:
            self._truths[state] = self.hypotheses.truth(state.houses, state.cured)
        return self._truths[state]

    def sets_of_causes(self) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
        """The sets of causes among the hypotheses: the first row of each set, and the set of each row.

        Rows that differ only in their weak links share a set; so do the unlisted ones.
        """
        if "sets" not in self.memory:
            _, firsts, numbers = np.unique(
                self.hypotheses.members, axis=0, return_index=True, return_inverse=True
            )
            self.memory["sets"] = (firsts, numbers.ravel())
        firsts, numbers = cast("tuple[NDArray[np.intp], NDArray[np.intp]]", self.memory["sets"])
        return firsts, numbers

    def _work_out(self, check: Check, state: EngineState) -> LinePositions:
        truth = self.truth(state)
        width = self.hypotheses.width
        nowhere = np.zeros(width, dtype=np.uint8)
        positions = np.full(self.hypotheses.count, len(check.lines) - 1, dtype=np.uint8)
        for place in range(len(check.lines) - 1, -1, -1):
            met = where(check.lines[place].when, lambda name: truth.get(EventId(name), nowhere), width)
            positions[np.unpackbits(met, count=self.hypotheses.count).astype(bool)] = place
        positions[-1] = len(check.lines)
        return positions


def compile_model(
    library: Library,
    machine: Machine,
    complaints: Sequence[EventId],
    given: AbstractSet[EventId] = frozenset(),
    order: int | None = None,
) -> Model:
    """Compile the model of `complaints` on `machine` in the situation `given`.

    Raises LimitError when a measurement's limits cannot be worked out for the machine.
    """
    checks = {id_: one for id_, one in library.checks.items() if machine.fits(one.needs.only_if)}
    repairs = {id_: one for id_, one in library.repairs.items() if machine.fits(one.needs.only_if)}
    return Model(
        library,
        machine,
        hypothesise(library, machine, complaints, given, order),
        checks,
        repairs,
        {id_: _chances(one.lines, [finding.id for finding in one.findings]) for id_, one in checks.items()},
        {
            id_: resolved_bands(one.reading, library, machine)
            for id_, one in checks.items()
            if one.reading is not None
        },
    )


def _chances(lines: Sequence[Line], findings: Sequence[FindingId]) -> Floats:
    listed = np.array([[line.chances.get(finding, 0.0) for line in lines] for finding in findings])
    return np.hstack([listed, np.full((len(findings), 1), 1.0 / len(findings))])
