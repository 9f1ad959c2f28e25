"""Waiting counts in the minutes of a step, and is told apart from work: common practice, no source."""

from __future__ import annotations

import re

from kickover.core.ids import CheckId, RepairId, SetupId
from kickover.model.library import Check, Repair, Setup
from worlds.shipped_library import shipped

LIBRARY = shipped()
COUNTS = {"two": 2, "three": 3, "five": 5, "ten": 10, "15": 15, "20": 20, "30": 30, "twenty": 20}
WAITS = re.compile(r"\b(?:wait|for|stand) (?:for )?(two|three|five|ten|twenty|15|20|30) minutes\b", re.I)
NO_WAIT = ("ride", "run", "idle", "restart")
"""Minutes in which the hands ride or the engine runs are not waiting."""

STEPS: tuple[Check | Repair | Setup, ...] = (
    *LIBRARY.checks.values(),
    *LIBRARY.repairs.values(),
    *(one for one in LIBRARY.setups.values() if one.danger),
)


def test_a_step_that_tells_to_wait_counts_those_minutes() -> None:
    short = {}
    for step in STEPS:
        told = 0
        for sentence in step.how:
            if any(word in sentence.lower() for word in NO_WAIT):
                continue
            told += sum(COUNTS[found.lower()] for found in WAITS.findall(sentence))
        if told > step.needs.waiting:
            short[step.id] = (told, step.needs.waiting)

    assert short == {}


def test_waiting_leaves_time_for_the_work() -> None:
    needs = {step.id: step.needs for step in STEPS}
    assert [id_ for id_, one in needs.items() if not 0 <= one.waiting < max(one.minutes, 0.1)] == []


def test_what_charges_soaks_and_thaws_is_mostly_waiting() -> None:
    waits = {
        "charge-battery": LIBRARY.repairs[RepairId("charge-battery")].needs,
        "soak-and-free": LIBRARY.repairs[RepairId("soak-and-free")].needs,
        "wait-for-thaw": LIBRARY.repairs[RepairId("wait-for-thaw")].needs,
        "fuel-sample": LIBRARY.checks[CheckId("fuel-sample")].needs,
        "fuel-vapour": LIBRARY.setups[SetupId("fuel-vapour")].needs,
    }

    assert [id_ for id_, needs in waits.items() if needs.waiting < 0.7 * needs.minutes] == []
