"""A rider with a hidden fault, who answers what such an engine would most likely show.

Used by tests to drive whole walks. Answers are typed text, so that they pass through all of the dialogue.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from kickover.core.ids import CheckId, EventId, RepairId
from kickover.inference.compiled_model import EngineState, Model
from kickover.inference.hypotheses import ENDED
from kickover.session.session import Phase, Session, Task
from worlds.sure_repairs import row_after


@dataclass
class Rider:
    """A person on whose engine the causes `hidden` are present."""

    model: Model
    hidden: frozenset[EventId]
    cured: set[EventId] = field(default_factory=set)

    @property
    def row(self) -> int:
        """The hypothesis that is true, a weak link open where it makes the complaint true."""
        return hypothesis_of(self.model, self.hidden)

    def says(self, session: Session, task: Task) -> str:
        """What the rider types when asked `task`."""
        match task.phase:
            case Phase.CHECK:
                return self.answer(session, CheckId(task.id))
            case Phase.PROOF:
                return "yes" if self.is_cured(session) else "no"
            case Phase.MENDED | Phase.GIVEN_UP:
                return ""
            case _:
                return "1"

    def answer(self, session: Session, check: CheckId) -> str:
        """The likeliest finding of `check`, or a reading well inside its band."""
        state = EngineState(session.job.houses, session.belief.made)
        row = row_after(self.model, self.row, session.belief.made)
        column = int(self.model.line_positions(check, state)[row])
        chances = self.model.chances[check][:, column]
        place = int(np.argmax(chances))
        known = self.model.checks[check]
        if known.reading is None:
            return str(place + 1)
        return f"{inside(self.model, check, place):.6g} {known.reading.unit}"

    def is_cured(self, session: Session) -> bool:
        """Tell whether the repairs made so far end the complaint."""
        made = set(session.belief.made)
        if session.proving is not None:
            made.add(session.proving)
        return row_after(self.model, self.row, made) == ENDED


def inside(model: Model, check: CheckId, place: int) -> float:
    """A reading in the middle of a band, in the unit of the check."""
    reading = model.checks[check].reading
    assert reading is not None
    least, most = reading.least.within(reading.unit), reading.most.within(reading.unit)
    marks = [least, *model.edges[check], most]
    return (marks[place] + marks[place + 1]) / 2.0


def hypothesis_of(model: Model, hidden: Iterable[EventId]) -> int:
    """The likeliest hypothesis with exactly these causes; ValueError when there is none."""
    wanted = frozenset(hidden)
    rows = [
        row
        for row in range(model.hypotheses.count - 1)
        if frozenset(model.hypotheses.causes_of(row)) == wanted
    ]
    if not rows:
        raise ValueError(f"the causes {sorted(wanted)} do not bring about this complaint")
    return max(rows, key=lambda row: float(model.hypotheses.prior[row]))


def single_causes(model: Model) -> tuple[EventId, ...]:
    """Every cause that brings the complaint about by itself."""
    found = {model.hypotheses.causes_of(row) for row in range(model.hypotheses.count - 1)}
    return tuple(sorted(causes[0] for causes in found if len(causes) == 1))


def repairs_made(session: Session) -> tuple[RepairId, ...]:
    """The repairs of a walk, in order."""
    return tuple(RepairId(entry.repair) for entry in session.entries if hasattr(entry, "repair"))
