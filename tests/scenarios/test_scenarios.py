"""Whole walks through the dialogue: the engines and riders of `scenarios.yaml`, some of whom err."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import yaml

from kickover.core.ids import CheckId, EventId, MachineId
from kickover.inference.compiled_model import EngineState
from kickover.model.library import Library
from kickover.session.outcome import confirmed_causes
from kickover.session.session import Phase, Session, Task, begin
from kickover.ui.dialogue import Dialogue
from kickover.ui.input_handling import handle_input
from session.rider import Rider

SCENARIOS: list[dict[str, Any]] = yaml.safe_load(
    (Path(__file__).parent / "scenarios.yaml").read_text(encoding="utf-8")
)["scenarios"]
ENDED = {Phase.MENDED, Phase.FOUND, Phase.GIVEN_UP}
ROUGH = {"misreads", "unsure", "fails"}
MOST_STEPS = 120


@dataclass
class RoughRider(Rider):
    """A rider who misreads or cannot tell at some of the checks, and whose first right repairs may fail."""

    misreads: frozenset[int] = frozenset()
    unsure: frozenset[int] = frozenset()
    fails: int = 0
    asked: list[CheckId] = field(default_factory=list)
    failed: set[str] = field(default_factory=set)

    def answer(self, session: Session, check: CheckId) -> str:
        if check not in self.asked:
            self.asked.append(check)
        number = self.asked.index(check) + 1
        if number in self.unsure:
            return "skip"
        right = super().answer(session, check)
        known = self.model.checks[check]
        if number not in self.misreads or known.reading is not None:
            return right
        state = EngineState(session.job.houses, session.belief.made)
        column = int(self.model.line_positions(check, state)[self.row])
        chances = self.model.chances[check][:, column].copy()
        chances[int(right) - 1] = -1.0
        return str(int(np.argmax(chances)) + 1)

    def is_cured(self, session: Session) -> bool:
        """The repairs that were made count, but for those that failed for this rider."""
        assert session.proving is not None
        cures = self.hidden & set(self.model.repairs[session.proving].cures)
        if cures and len(self.failed) < self.fails and session.proving not in self.failed:
            self.failed.add(session.proving)
        made = {*session.belief.made, *session.unproven} - self.failed
        cured = {cause for repair in made for cause in self.model.repairs[repair].cures}
        return self.hidden <= cured


def walked(library: Library, scenario: dict[str, Any]) -> tuple[Session, RoughRider]:
    machine = library.machines[MachineId(scenario["machine"])]
    price = library.settings.bench_give_up_minutes
    session = begin(library, machine, [EventId(scenario["complaint"])], give_up=price)
    rider = RoughRider(
        session.model,
        frozenset(EventId(cause) for cause in scenario["causes"]),
        misreads=frozenset(scenario.get("misreads", ())),
        unsure=frozenset(scenario.get("unsure", ())),
        fails=scenario.get("fails", 0),
    )
    dialogue = Dialogue(session)
    for _ in range(MOST_STEPS):
        task: Task = dialogue.task()
        if task.phase in ENDED or task.phase is Phase.GIVE_UP:
            break
        dialogue = handle_input(dialogue, rider.says(dialogue.session, task))
    return dialogue.session, rider


def _cases() -> list[Any]:
    """All scenarios; all but a few of riders who make mistakes are left to the slow part of the tests."""
    kept = [one for one in SCENARIOS if ROUGH & one.keys()][::3]
    return [
        pytest.param(
            one,
            id=f"{one['machine']}-{'-and-'.join(one['causes'])}",
            marks=() if one in kept else pytest.mark.slow,
        )
        for one in SCENARIOS
    ]


@pytest.mark.parametrize("scenario", _cases())
def test_the_walk_ends_with_the_right_cause(shipped: Library, scenario: dict[str, Any]) -> None:
    session, rider = walked(shipped, scenario)
    if session.mended is not None:
        assert rider.hidden & set(confirmed_causes(session))
    else:
        assert session.belief.ranking()[0].cause in rider.hidden


def test_every_machine_and_enough_rough_riders_are_among_them(shipped: Library) -> None:
    assert {one["machine"] for one in SCENARIOS} == set(shipped.machines)
    assert sum(bool(ROUGH & one.keys()) for one in SCENARIOS) >= 5
    assert len(SCENARIOS) >= 40
