"""For each cause the finding that a textbook would name has a line of its own: common practice, no source."""

from __future__ import annotations

import pytest

from faults.own_lines import without_own_line
from kickover.core.ids import MachineId
from worlds.shipped_library import shipped

LIBRARY = shipped()


@pytest.mark.parametrize("machine", LIBRARY.machines)
def test_every_cause_has_a_finding_that_no_cause_of_another_repair_shares(machine: MachineId) -> None:
    assert without_own_line(LIBRARY.machines[machine]) == set()
