"""The compiled model of one complaint on one machine: hypotheses, and the chances of every finding.

A check's first matching line decides its chances, so a hypothesis needs only the position of its line, and
the chances are one small table a check. Positions depend on the situation in which a check is made; each is
worked out once, when it is first needed.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field
from typing import cast

import numpy as np
from numpy.typing import NDArray

from kickover.core.ids import CheckId, EventId, RepairId
from kickover.inference.hypotheses import Floats, Hypotheses, hypothesise
from kickover.inference.repair_effect import RepairEffect, effect_of
from kickover.model.library import Check, Library, Machine, Repair
from kickover.model.limits import resolved_bands
from kickover.model.truth import Bits, where
from kickover.model.undeveloped import with_undeveloped

LinePositions = NDArray[np.uint8]


@dataclass(frozen=True, slots=True)
class EngineState:
    """The engine as it is when a check is made: true house events, and the repairs that were made before."""

    houses: frozenset[EventId]
    made: frozenset[RepairId] = frozenset()


@dataclass(frozen=True, slots=True)
class Model:
    """What the reasoning needs, and nothing else.

    `chances[check]` has shape (findings, lines + 1): a column a line, then even chances for the unlisted
    cause that may show anything. `edges[check]` are the rising limits between the bands of a measurement, in
    its unit. `checks` and `repairs` are those that the machine can have; `works[repair]` (causes + 1) is the
    chance that a repair works on each cause, the last for "no cause". `memory` keeps what planning has
    worked out from the model; nothing is lost when it is emptied.
    """

    library: Library
    machine: Machine
    hypotheses: Hypotheses
    checks: Mapping[CheckId, Check]
    repairs: Mapping[RepairId, Repair]
    chances: Mapping[CheckId, Floats]
    edges: Mapping[CheckId, tuple[float, ...]]
    works: Mapping[RepairId, Floats] = field(default_factory=dict, repr=False)
    memory: dict[Hashable, object] = field(default_factory=dict, repr=False)
    _positions: dict[tuple[CheckId, frozenset[EventId]], LinePositions] = field(
        default_factory=dict, repr=False
    )
    _truths: dict[frozenset[EventId], Mapping[EventId, Bits]] = field(default_factory=dict, repr=False)
    _effects: dict[RepairId, RepairEffect] = field(default_factory=dict, repr=False)

    @property
    def settled(self) -> frozenset[CheckId]:
        """The checks that the complaints answer themselves: nobody needs to make them."""
        complaints = [self.library.complaints[name] for name in self.hypotheses.complaints]
        return frozenset(check for complaint in complaints for check in complaint.settles)

    def line_positions(self, check: CheckId, state: EngineState) -> LinePositions:
        """The column of `chances[check]` that holds for each hypothesis: shape (H,)."""
        key = (check, state.houses)
        if key not in self._positions:
            self._positions[key] = self._work_out(self.checks[check], state.houses)
        return self._positions[key]

    def effect(self, repair: RepairId) -> RepairEffect:
        """What a repair does under each hypothesis."""
        if repair not in self._effects:
            hypotheses = self.hypotheses
            self._effects[repair] = effect_of(self.works[repair], hypotheses.members, hypotheses.remaining)
        return self._effects[repair]

    def likelihood(self, check: CheckId, weights: Sequence[float], state: EngineState) -> Floats:
        """The chance of an answer under each hypothesis: shape (H,).

        `weights` has one number a finding: 1 for the one that was seen and 0 for the others, or shares
        for an unsure answer or a reading near a limit (virtual evidence, Pearl 1988).
        """
        by_line = np.asarray(weights, dtype=np.float64) @ self.chances[check]
        return np.asarray(by_line[self.line_positions(check, state)])

    def truth(self, houses: frozenset[EventId]) -> Mapping[EventId, Bits]:
        """The packed truth of every event in the situation `houses`."""
        if houses not in self._truths:
            self._truths[houses] = self.hypotheses.truth(houses)
        return self._truths[houses]

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

    def _work_out(self, check: Check, houses: frozenset[EventId]) -> LinePositions:
        truth = self.truth(houses)
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
    listed: bool = False,
) -> Model:
    """Compile the model of `complaints` on `machine` in the situation `given`.

    With `listed`, no undeveloped event stands for what the library does not list.

    Raises LimitError when a measurement's limits cannot be worked out for the machine.
    """
    if not listed:
        library = with_undeveloped(library, machine)
    checks = {id_: one for id_, one in library.checks.items() if machine.fits(one.needs.only_if)}
    repairs = {id_: one for id_, one in library.repairs.items() if machine.fits(one.needs.only_if)}
    hypotheses = hypothesise(library, machine, complaints, given, order)
    position = {cause: place for place, cause in enumerate(hypotheses.structure.causes)}
    return Model(
        library,
        machine,
        hypotheses,
        checks,
        repairs,
        {id_: _chances(one, library.settings.slips.get(one.kind, 0.0)) for id_, one in checks.items()},
        {
            id_: resolved_bands(one.reading, library, machine)
            for id_, one in checks.items()
            if one.reading is not None
        },
        {id_: _works(one, position) for id_, one in repairs.items()},
    )


def _works(repair: Repair, position: Mapping[EventId, int]) -> Floats:
    result = np.zeros(len(position) + 1)
    for cause, chance in repair.cures.items():
        if cause in position:
            result[position[cause]] = chance
    return result


def _chances(check: Check, slip: float) -> Floats:
    """The chances of what is told, by line; a slip takes any other finding for the one it shows."""
    findings = [finding.id for finding in check.findings]
    listed = np.array([[line.chances.get(finding, 0.0) for line in check.lines] for finding in findings])
    if len(findings) > 1:
        listed = (1.0 - slip) * listed + slip * (1.0 - listed) / (len(findings) - 1.0)
    return np.hstack([listed, np.full((len(findings), 1), 1.0 / len(findings))])
