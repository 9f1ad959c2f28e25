"""What the model says about the cause of a case, before and after what was found.

A ground is the model of one complaint on one machine in one situation, looked at for single causes: how
easily each brings the complaint, and what each makes of a check. Cases on the same ground share it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from kickover.core.ids import CheckId, EventId
from kickover.inference.compiled_model import EngineState, Model, compile_model
from kickover.inference.hypotheses import Floats, Ints
from kickover.learning.case import CaseError
from kickover.model.library import Library, Machine


@dataclass(frozen=True, slots=True)
class Ground:
    """The model of a complaint, for single causes.

    `causes` are those that bring the complaint by themselves. The share of a cause among them is its rate
    times its `ease`, over the sum of the same for all: the ease is the product of its odds factors in this
    situation and the chance that the weak links above it let the complaint come about. `_order` has the
    hypotheses of each cause, one for each state of its links that does, from its place of `_starts` on.
    """

    model: Model
    causes: tuple[EventId, ...]
    ease: Floats
    _order: Ints = field(repr=False)
    _starts: Ints = field(repr=False)
    _lines: dict[tuple[str, EngineState], Ints] = field(default_factory=dict, repr=False)

    def state(self, houses: Sequence[str] | None) -> EngineState:
        """The state of the engine in which a check was made; None is that of the complaint."""
        if houses is None:
            return EngineState(self.model.hypotheses.houses)
        return EngineState(frozenset(EventId(house) for house in houses))

    def lines(self, check: str, state: EngineState) -> Ints:
        """For each cause the position of the line of `check` that holds, -1 where its links decide it."""
        key = (check, state)
        if key not in self._lines:
            positions = self.model.line_positions(CheckId(check), state).astype(np.int64)
            by_cause = positions[self._order]
            least = np.minimum.reduceat(by_cause, self._starts)
            most = np.maximum.reduceat(by_cause, self._starts)
            self._lines[key] = np.where(least == most, least, -1)
        return self._lines[key]

    def likelihood(self, checks: Sequence[tuple[str, Sequence[float], EngineState]]) -> Floats:
        """The chance of answers together under each cause: shape (causes,).

        Each answer is a check, the weights of its findings in their order, and the state it was made in.
        """
        prior = self.model.hypotheses.prior
        weighed = prior.copy()
        for check, weights, state in checks:
            weighed *= self.model.likelihood(CheckId(check), weights, state)
        found = np.add.reduceat(weighed[self._order], self._starts)
        return np.asarray(found / np.add.reduceat(prior[self._order], self._starts))


class Grounds:
    """Grounds by machine, complaints and situation, each worked out once.

    `machine_named` gives a machine by its id or its file, and raises KickoverError for any other name.
    """

    def __init__(self, library: Library, machine_named: Callable[[str], Machine]) -> None:
        self.library = library
        self._machine_named = machine_named
        self._machines: dict[str, Machine] = {}
        self._grounds: dict[tuple[str, tuple[str, ...], tuple[str, ...]], Ground] = {}

    def machine(self, name: str) -> Machine:
        """A machine by its id or its file."""
        if name not in self._machines:
            self._machines[name] = self._machine_named(name)
        return self._machines[name]

    def ground(self, machine: str, complaints: Sequence[str], given: Sequence[str]) -> Ground:
        """The ground of a case. Raises CaseError when the library lacks its complaint or situation."""
        key = (machine, tuple(complaints), tuple(given))
        if key not in self._grounds:
            self._grounds[key] = self._work_out(*key)
        return self._grounds[key]

    def _work_out(self, machine: str, complaints: tuple[str, ...], given: tuple[str, ...]) -> Ground:
        for name in complaints:
            if name not in self.library.complaints:
                raise CaseError(f"the library has no complaint {name!r}")
        for name in given:
            if name not in self.library.houses:
                raise CaseError(f"the library has no situation {name!r}")
        model = compile_model(
            self.library,
            self.machine(machine),
            tuple(EventId(complaint) for complaint in complaints),
            frozenset(EventId(house) for house in given),
            order=1,
            listed=True,
        )
        hypotheses = model.hypotheses
        member = hypotheses.members[:, 0]
        places = np.unique(member[member >= 0])
        causes = tuple(hypotheses.structure.causes[place] for place in places)
        rows = tuple(np.flatnonzero(member == place) for place in places)
        rates = np.array([self.library.causes[cause].rate for cause in causes])
        weight = np.array([hypotheses.prior[row].sum() for row in rows])
        total = weight.sum()
        return Ground(
            model,
            causes,
            weight / rates / (total if total > 0.0 else 1.0),
            np.concatenate([np.zeros(0, dtype=np.int64), *rows]),
            np.cumsum([0, *(len(row) for row in rows[:-1])]),
        )
